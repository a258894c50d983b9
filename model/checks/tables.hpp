// The tables that the catalogue is put together from, one file a subject.
#pragma once

#include "model/checks/catalogue.hpp"

namespace agonic::checks {

std::span<const Entry> place_and_date_stops() noexcept;
std::span<const Entry> reading_stops() noexcept;
std::span<const Entry> file_stops() noexcept;
/// Meanings and remedies are those of reading::all_checks().
std::vector<Entry> row_marks();
std::span<const Entry> lookup_warnings() noexcept;
std::span<const Entry> traverse_notes() noexcept;
std::span<const Entry> rotation_and_swing_notes() noexcept;
std::span<const Entry> route_notes() noexcept;
std::span<const Entry> fit_remarks() noexcept;
std::span<const Entry> instrument_findings() noexcept;
/// Meanings and remedies are those of review::all_review_checks().
std::vector<Entry> review_checks();
std::span<const Entry> service_faults() noexcept;

/// Where values of all kinds are read.
inline constexpr std::uint16_t kInputs = at(Where::row) | at(Where::lookup) | at(Where::setting) | at(Where::sun) |
                                         at(Where::traverse) | at(Where::rotation) | at(Where::swing) | at(Where::fit) |
                                         at(Where::route);
inline constexpr std::uint16_t kPlaced = at(Where::row) | at(Where::lookup) | at(Where::setting) | at(Where::sun) |
                                         at(Where::traverse) | at(Where::rotation) | at(Where::fit) | at(Where::route);
inline constexpr std::uint16_t kFiles =
    at(Where::file) | at(Where::traverse) | at(Where::rotation) | at(Where::swing) | at(Where::fit) | at(Where::route);

}  // namespace agonic::checks
