// SPDX-License-Identifier: MIT
#include "holdable/files/read_checks.hpp"

#include <utility>

namespace holdable {
namespace {

/// Whether a check by square says XY; what else may stand there, the standing square says.
bool lies_flat(const Reader& item) {
    const auto plane = item.find("plane");
    return plane && is(*plane, Node::Kind::string) &&
           (plane->node()->text == "XY" || plane->node()->text == "YX");
}

} // namespace

void read_checks(const Reader& file, Date today, Shop& shop) {
    enum class Kind { square, level };
    CheckFields fields(today, shop);
    Ids ids;
    const auto checks = file.find("checks");
    if (!checks)
        return; // a shop that has not checked yet is told so by its answers
    for (const Reader& item : checks->elements()) {
        auto name = ids.take(item);
        const auto kind =
            read_kind<Kind>(item, "kind", {{"square", Kind::square}, {"level", Kind::level}});
        if (!kind)
            continue;
        switch (*kind) {
        case Kind::square:
            if (lies_flat(item))
                shop.flat_square_checks.push_back(
                    read_flat_square_check(item, std::move(name), fields));
            else
                shop.square_checks.push_back(read_square_check(item, std::move(name), fields));
            break;
        case Kind::level:
            shop.level_checks.push_back(read_level_check(item, std::move(name), fields));
            break;
        }
    }
}

} // namespace holdable
