// SPDX-License-Identifier: MIT
/// A formula budget of budgets/methods/, evaluated by the GUM.
#pragma once

#include "holdable/files/document.hpp"
#include "holdable/files/read_budget.hpp"
#include "holdable/files/text.hpp"
#include "holdable/propagate/gum.hpp"

#include <boost/test/unit_test.hpp>

#include <string>

namespace holdable::tests {

inline propagate::GumResult method_budget(const std::string& name) {
    const auto path = std::string(HOLDABLE_ROOT) + "/budgets/methods/" + name + ".json";
    return propagate::gum(read_budget(parse_document(read_text(path), name), name));
}

inline const propagate::GumOutput& output(const propagate::GumResult& result,
                                          const std::string& name) {
    for (const auto& one : result.outputs)
        if (one.name == name)
            return one;
    BOOST_FAIL("no output " << name);
    return result.outputs.front();
}

} // namespace holdable::tests
