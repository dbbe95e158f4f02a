# SPDX-License-Identifier: GPL-3.0-or-later
"""Draws the curves of the validation page."""
import math

from validation_records import Fault

# Okabe and Ito's palette without its yellow: told apart with every common colour blindness, and on paper.
COLOURS = ["#0072B2", "#D55E00", "#009E73", "#CC79A7", "#56B4E9", "#E69F00", "#000000"]
FEW_POINTS = 12  # of a computed series: its points are shown, the line between them is thin
MARKERS = ["o", "s", "^", "D", "v", "P", "X"]


def colours_of(series):
    own = [one["name"] for one in series if not one["colour_with"]]
    if len(own) > len(COLOURS):
        raise Fault(f"more than {len(COLOURS)} colours in one plot: {', '.join(own)}")
    index = {name: position for position, name in enumerate(own)}
    for one in series:
        if one["colour_with"]:
            if one["colour_with"] not in index:
                raise Fault(f"series {one['name']}: no series {one['colour_with']} with a colour of its own")
            index[one["name"]] = index[one["colour_with"]]
    return index


def draw(axes, curve):
    index = colours_of(curve["series"])
    for one in curve["series"]:
        position = index[one["name"]]
        x = [math.nan if value is None else value for value in one["x"]]
        y = [math.nan if value is None else value for value in one["y"]]
        style = {"color": COLOURS[position], "label": one["name"]}
        if one["kind"] == "expected":
            axes.errorbar(x, y, yerr=one["error"] or None, linestyle="none", marker=MARKERS[position],
                          markersize=6.0, markerfacecolor="none", markeredgewidth=1.4, elinewidth=0.8, capsize=2.0,
                          zorder=3, **style)
        elif one["kind"] == "computed":
            few = len(x) <= FEW_POINTS
            axes.plot(x, y, linewidth=1.0 if few else 1.8, marker="o" if few else None, markersize=3.5, zorder=2, **style)
        else:
            axes.plot(x, y, linewidth=1.2, linestyle=(0, (4, 3)), zorder=1, **style)
    axes.set_title(curve["title"], fontsize=11)
    axes.set_xlabel(curve["x_axis"])
    axes.set_ylabel(curve["y_axis"])
    axes.grid(True, linewidth=0.4, color="0.85")
    axes.spines[["top", "right"]].set_visible(False)
    axes.legend(frameon=False, fontsize=9)


def write_plots(records, folder):
    curves = [curve for name in sorted(records) for curve in records[name]["curves"]]
    if not curves:
        return
    names = [curve["file"] for curve in curves]
    if doubled := sorted({name for name in names if names.count(name) > 1}):
        raise Fault(f"plot used by two curves: {', '.join(doubled)}")
    try:
        import matplotlib
        matplotlib.use("svg")
        from matplotlib import pyplot
    except ImportError as error:
        raise Fault("matplotlib is missing. Run scripts/bootstrap validation") from error
    # Text stays text; ids do not change from run to run.
    matplotlib.rcParams.update({"svg.hashsalt": "cowlwright", "svg.fonttype": "none", "font.family": "sans-serif",
                                "font.sans-serif": ["DejaVu Sans", "Arial", "sans-serif"]})
    folder.mkdir(exist_ok=True)
    for old in folder.glob("*.svg"):
        if old.stem not in names:
            old.unlink()
    for curve in curves:
        figure, axes = pyplot.subplots(figsize=(7.2, 4.4), layout="constrained")
        draw(axes, curve)
        figure.savefig(folder / f"{curve['file']}.svg", metadata={"Date": None, "Creator": None})
        pyplot.close(figure)
