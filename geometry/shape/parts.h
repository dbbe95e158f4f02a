// SPDX-License-Identifier: GPL-3.0-or-later
//
// The parts an installation is put together from; each a closed, outward surface (or several that do not
// touch).
#pragma once

#include "geometry/shape/layout.h"
#include "geometry/shape/outline.h"
#include "geometry/shape/surface.h"

#include <vector>

namespace cowlwright::shape {

/// Solid body from the flat nose face to the tail, with the exit fairing; no spinner, nothing hollow.
Surface outer_body(const ShapeSpec& spec);
/// Spinner and, with proud rings, the discs they are cut from; each reaches into the nose.
Surface nose_attachments(const ShapeSpec& spec);
/// Only the discs; empty without a proud ring.
Surface ring_discs(const ShapeSpec& spec);
/// Plate below the trailing edge, its root inside the skin; with side plates one surface with them.
Surface exit_lip(const ShapeSpec& spec);
/// Upright cylinder through the exit channel in the plane of symmetry, from inside the belly to inside the
/// skin.
Surface nose_leg_strut(const ShapeSpec& spec);
/// Two closed pipes from inside the lower deck's ceiling down, round a bend and aft through the exit gap.
Surface exhaust_pipes(const ShapeSpec& spec);

enum class DeckPart { Whole, Left, Right };
/// Air above the cores between two stations, roof and sides `inset` below the outer form; a lid lies where it
/// belongs for an inset of the skin's thickness, and higher for less. Floor and ends are of patch baffle, the
/// rest of patch upper_deck.
Surface upper_deck(const ShapeSpec& spec, double from, double to, double inset, DeckPart part);
enum class ExitChannel { Without, With };
/// Air below the cores from a station to the firewall; with the exit channel it runs on into free air.
Surface lower_deck(const ShapeSpec& spec, double from, double inset, ExitChannel channel);
/// Air of all passages of one kind, poking into the rooms they join; empty when there are none.
Surface passage_ducts(const ShapeSpec& spec, base::PassageKind kind);
enum class DuctEnd { InDeck, AtFrontWall };
/// Air of both inlets to ahead of the nose face, from inside the upper deck or from its front wall on.
Surface inlet_ducts(const ShapeSpec& spec, DuctEnd end = DuctEnd::InDeck);
/// Solid standing in both decks.
Surface crankcase_block(const ShapeSpec& spec);
/// Solid that splits the upper deck, with the boss round a leak through it.
Surface centre_wall(const ShapeSpec& spec);

/// y of the columns of the exit channel, from left to right, |y| <= exit width / 2.
std::vector<double> channel_columns(const ExitSpec& exit);
/// Heights of the channel's ceiling and floor at a station between firewall and trailing edge.
double channel_ceiling_z(const ShapeSpec& spec, const Outline& outline, double x, double y);
double channel_floor_z(const ShapeSpec& spec, const Outline& outline, double x, double y);

}  // namespace cowlwright::shape
