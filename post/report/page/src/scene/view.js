// SPDX-License-Identifier: GPL-3.0-or-later
//
// One 3-D drawing: pieces coloured by a field, seen by an eye that its owner moves.

import "@kitware/vtk.js/Rendering/OpenGL/Actor.js";
import "@kitware/vtk.js/Rendering/OpenGL/Camera.js";
import "@kitware/vtk.js/Rendering/OpenGL/PolyDataMapper.js";
import "@kitware/vtk.js/Rendering/OpenGL/Renderer.js";
import vtkDataArray from "@kitware/vtk.js/Common/Core/DataArray.js";
import vtkPolyData from "@kitware/vtk.js/Common/DataModel/PolyData.js";
import vtkActor from "@kitware/vtk.js/Rendering/Core/Actor.js";
import vtkColorTransferFunction from "@kitware/vtk.js/Rendering/Core/ColorTransferFunction.js";
import vtkMapper from "@kitware/vtk.js/Rendering/Core/Mapper.js";
import vtkRenderer from "@kitware/vtk.js/Rendering/Core/Renderer.js";
import vtkRenderWindow from "@kitware/vtk.js/Rendering/Core/RenderWindow.js";
import vtkOpenGLRenderWindow from "@kitware/vtk.js/Rendering/OpenGL/RenderWindow.js";

import { colourAt } from "./colours.js";
import { half_angle, placed } from "./orbit.js";

const n_colours = 64;

/// The browser can draw in 3-D.
export function hasWebGl() {
  const canvas = document.createElement("canvas");
  return Boolean(canvas.getContext("webgl2") ?? canvas.getContext("webgl"));
}

function coloursOver([low, high]) {
  const colours = vtkColorTransferFunction.newInstance();
  for (let i = 0; i < n_colours; i += 1) {
    const share = i / (n_colours - 1);
    colours.addRGBPoint(low + share * (high - low), ...colourAt(share).map((part) => part / 255));
  }
  return colours;
}

function dataOf(piece) {
  const data = vtkPolyData.newInstance();
  data.getPoints().setData(piece.points, 3);
  (piece.is_lines ? data.getLines() : data.getPolys()).setData(piece.cells);
  for (const [name, values] of piece.fields) {
    data.getPointData().addArray(vtkDataArray.newInstance({ name, values, numberOfComponents: 1 }));
  }
  return data;
}

function actorOf(piece) {
  const mapper = vtkMapper.newInstance({ interpolateScalarsBeforeMapping: true });
  mapper.setInputData(dataOf(piece));
  const actor = vtkActor.newInstance();
  actor.setMapper(mapper);
  actor.getProperty().set({ ambient: 0.6, diffuse: 0.45, specular: 0, lineWidth: 2, color: [0.72, 0.75, 0.78] });
  actor.getProperty().setLighting(piece.kind === "surface");
  return actor;
}

/// A drawing in this element. Its owner calls show(), colour(), look() and then render().
export class SceneView {
  constructor(container) {
    this.container = container;
    this.renderer = vtkRenderer.newInstance({ background: [1, 1, 1] });
    this.render_window = vtkRenderWindow.newInstance();
    this.render_window.addRenderer(this.renderer);
    this.canvas = vtkOpenGLRenderWindow.newInstance();
    this.canvas.setContainer(container);
    this.render_window.addView(this.canvas);
    this.renderer.getActiveCamera().setViewAngle(2 * half_angle);
    this.parts = [];
    this.is_pending = false;
    this.fit();
  }

  /// Takes the size of its element.
  fit() {
    const { width, height } = this.container.getBoundingClientRect();
    const scale = Math.min(2, window.devicePixelRatio || 1);
    const size = [width, height].map((length) => Math.max(1, Math.floor(length * scale)));
    if (size.join() !== this.canvas.getSize().join()) {
      this.canvas.setSize(...size);
    }
  }

  show(pieces) {
    this.renderer.removeAllViewProps();
    this.parts = pieces.map((piece) => ({ piece, actor: actorOf(piece) }));
    this.parts.forEach(({ actor }) => this.renderer.addActor(actor));
  }

  colour(field, range) {
    const colours = range ? coloursOver(range) : null;
    for (const { piece, actor } of this.parts) {
      const mapper = actor.getMapper();
      const has_field = colours !== null && piece.fields.has(field);
      mapper.setScalarVisibility(has_field);
      if (has_field) {
        mapper.set({ scalarMode: 3, colorByArrayName: field, colorMode: 1, useLookupTableScalarRange: false, scalarRange: range });
        mapper.setLookupTable(colours);
      }
    }
  }

  setVisible(is_visible) {
    this.parts.forEach(({ piece, actor }) => actor.setVisibility(is_visible(piece.id)));
  }

  look(eye) {
    const camera = this.renderer.getActiveCamera();
    const { position, up } = placed(eye);
    camera.set({ focalPoint: eye.centre, position, viewUp: up });
    this.renderer.resetCameraClippingRange();
  }

  /// Draws once before the next frame, however often it is asked.
  render() {
    if (this.is_pending) {
      return;
    }
    this.is_pending = true;
    requestAnimationFrame(() => {
      this.is_pending = false;
      this.render_window.render();
    });
  }
}
