// What reaches the receiver by way of mirrors.
#pragma once

#include <vector>

#include "sim/link/link.h"

namespace sim {

/// The mirror paths of a node to a receiver with what their legs cost, before any sector: free
/// space over the unfolded length, gas, what stands on each leg by the functions of the direct
/// path (as if the leg ended at the bounce), and the surfaces' coefficients. None without
/// settings.mirrors.
std::vector<ReflectedPath> trace_reflections(const RayCaster& caster, NodeIndex node,
                                             Frequency frequency, const Receiver& receiver,
                                             const LinkSettings& settings);

/// Puts a sector's antenna, polarization and rain on the paths of a link whose direct terms are
/// complete; sets reflection_gain, what all paths and the scattering in power add to the direct
/// one, and which path is strongest. The reflected paths carry the direct one's losses of enclosure
/// too.
void add_reflections(const Scene& scene, std::vector<ReflectedPath> paths,
                     const std::vector<ScatteredPath>& scattered, const LinkSettings& settings,
                     LinkResult& link);

/// Whether a mirror path carries more than the straight way, or all that facades scatter does.
bool served_by_walls(const LinkResult& link);

/// Share of a wave's power that the bounces leave, for a sender's "vertical", "horizontal" or
/// "slant" polarization and a receiver that takes both. The field is carried along as a vector: at
/// each bounce its part across the plane of incidence is TE, its part within it TM.
Db bounce_loss(const std::vector<Bounce>& bounces, ScenePoint from, ScenePoint to,
               const std::string& polarization);

}  // namespace sim
