// SPDX-License-Identifier: MIT
#include "holdable/propagate/input.hpp"

namespace holdable {

std::string_view word(Evidence evidence) {
    switch (evidence) {
    case Evidence::measured:
        return "measured";
    case Evidence::certificate:
        return "certificate";
    case Evidence::specification:
        return "specification";
    case Evidence::typical:
        return "typical";
    case Evidence::assumed:
        return "assumed";
    }
    return {};
}

std::string_view word(Sharing sharing) {
    switch (sharing) {
    case Sharing::job:
        return "job";
    case Sharing::setup:
        return "setup";
    case Sharing::tool:
        return "tool";
    case Sharing::part:
        return "part";
    }
    return {};
}

} // namespace holdable
