// SPDX-License-Identifier: MIT
// How results become JSON: keys in the order written, no number that is none. For .cpp files only.
#pragma once

#include "holdable/base/error.hpp"
#include "holdable/base/printable.hpp"
#include "holdable/report/origin.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <cmath>
#include <string>
#include <string_view>
#include <utility>

namespace holdable {

using Json = nlohmann::ordered_json;

/// A number, with all its digits.
/// @throws NumericError naming it if it is not finite
inline Json finite(double x, std::string_view what) {
    if (!std::isfinite(x))
        throw NumericError(fmt::format("\"{}\" is not a finite number", what));
    return x;
}

/// A document as text, ended by a line feed. What may not be printed is spelled as JSON allows;
/// bytes that are no UTF-8, as a file name may have, become U+FFFD.
inline std::string document_text(const Json& json) {
    return shown_lines(json.dump(2, ' ', false, Json::error_handler_t::replace)) + '\n';
}

/// The same with what it was made from at its end.
inline std::string document_text(Json json, const Origin& origin) {
    if (!origin.version.empty()) {
        Json files = Json::array();
        for (const auto& [name, digest] : origin.files)
            files.push_back({{"name", name}, {"sha256", digest}});
        json["version"] = origin.version;
        json["files"] = std::move(files);
    }
    return document_text(json);
}

} // namespace holdable
