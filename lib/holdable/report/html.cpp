// SPDX-License-Identifier: MIT
#include "holdable/report/html.hpp"

namespace holdable {
std::string script_escaped(std::string_view json) {
    std::string out;
    for (const char c : json) {
        if (c == '<')
            out += "\\u003c";
        else if (c == '>')
            out += "\\u003e";
        else if (c == '&')
            out += "\\u0026";
        else
            out += c;
    }
    return out;
}

} // namespace holdable
