// Row numbers as people write them.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "model/review/findings.hpp"

namespace agonic::review {

/// "rows 3-7, 12 (lines 4-8, 13)", at most `most` spans and then "and 45 more rows".
std::string rows_of_words(const Report& report, const std::vector<std::size_t>& entries, std::size_t most);
/// "instrument", "observer", "column site": what a factor is called in headings.
std::string factor_heading(const Report& report, Factor factor);
/// "2009-07-02 to 2016-08-12", a dash where there is none.
std::string dates_words(const std::optional<std::chrono::sys_days>& first,
                        const std::optional<std::chrono::sys_days>& last);
/// "2.4 E to 3.1 E", "2.4 E", a dash.
std::string range_words(const Range& range, int decimals);
/// "+4.2 +/- 0.3 on 9"; a dash.
std::string standing_words(const std::optional<Standing>& standing);

}  // namespace agonic::review
