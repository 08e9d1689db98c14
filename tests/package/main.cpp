// SPDX-License-Identifier: MIT
// A program outside the repository, built against the installed library.
#include <holdable/base/quantity.hpp>

int main() {
    return holdable::parse_as(holdable::Measure::length, "1 in") == 0.0254 ? 0 : 1;
}
