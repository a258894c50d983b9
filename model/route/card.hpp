// The card of a route.
#pragma once

#include "model/card/card.hpp"
#include "model/geodesy/grid.hpp"
#include "model/route/route.hpp"

namespace agonic::route {

/// What a route's card says: the first stop where the needle is usable in full, the settings along the way, the
/// declination at the stops. `request.out` is not looked at; the parameters may also name the route (name) and an
/// instrument (with `instruments`). Refuses what work() refuses, and a route whose needle is unusable everywhere.
Result<card::Sheet> card_of(const field::Catalogue& catalogue, geodesy::Grids& grids, const Request& request,
                            const instrument::Registry* instruments);

}  // namespace agonic::route
