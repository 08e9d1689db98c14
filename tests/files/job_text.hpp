// SPDX-License-Identifier: MIT
/// Jobs read from text, and their numbers compared: 1e-12 relative, some roundings of a double.
#pragma once

#include "files/shop_text.hpp"
#include "holdable/files/read_job.hpp"

#include <boost/test/unit_test.hpp>

#include <optional>
#include <string>

namespace holdable::job_texts {

inline constexpr double in = 0.0254;

inline Job read(const std::string& text) {
    return read_job(parse_document(text, "f"), "f");
}

/// All that is wrong with it, as printed.
inline std::string said(const std::string& text) {
    return holdable::said<Job>(text, [](const Node& root) { return read_job(root, "f"); });
}

inline void is(double found, double expected) {
    BOOST_TEST(found == expected, boost::test_tools::tolerance(1e-12));
}

inline void is(const std::optional<Extent>& found, const Extent& expected) {
    BOOST_REQUIRE(found.has_value());
    is(found->x_low, expected.x_low);
    is(found->x_high, expected.x_high);
    is(found->y_low, expected.y_low);
    is(found->y_high, expected.y_high);
}

} // namespace holdable::job_texts
