// SPDX-License-Identifier: MIT
/// Whether a page of HTML is well-formed: every element is closed in order, every attribute quoted.
#pragma once

#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace holdable::tests {

/// What is wrong first, empty where nothing is. Of script and style only the end is looked for.
inline std::string wrong_with_markup(std::string_view html) {
    static const std::set<std::string, std::less<>> single = {
        "meta", "input", "br", "hr", "img", "link"};
    std::vector<std::string> open;
    for (std::size_t at = 0; at < html.size();) {
        if (html[at] != '<') {
            if (html[at] == '&' && html.find(';', at) > at + 8)
                return "a lone & near " + std::string(html.substr(at, 30));
            ++at;
            continue;
        }
        if (html.substr(at, 2) == "<!") {
            at = html.find('>', at) + 1;
            continue;
        }
        const bool closing = html.substr(at, 2) == "</";
        std::size_t i = at + (closing ? 2 : 1);
        const auto begin = i;
        while (i < html.size() && html[i] != '>' && html[i] != ' ' && html[i] != '/')
            ++i;
        const std::string name(html.substr(begin, i - begin));
        if (name.empty())
            return "a lone < near " + std::string(html.substr(at, 30));
        while (i < html.size() && html[i] != '>' && html[i] != '/') { // attributes
            while (i < html.size() && (html[i] == ' ' || html[i] == '\n'))
                ++i;
            if (html[i] == '>' || html[i] == '/')
                break;
            while (i < html.size() && html[i] != '=' && html[i] != '>' && html[i] != ' ')
                ++i;
            if (html[i] != '=')
                continue; // without a value
            if (html[i + 1] != '"')
                return "an attribute without quotes near " + std::string(html.substr(at, 40));
            i = html.find('"', i + 2);
            if (i == std::string_view::npos)
                return "an attribute does not end near " + std::string(html.substr(at, 40));
            ++i;
        }
        const bool empty = html[i] == '/';
        i = html.find('>', i);
        if (i == std::string_view::npos)
            return "an element does not end near " + std::string(html.substr(at, 40));
        at = i + 1;
        if (closing) {
            if (open.empty() || open.back() != name)
                return "</" + name + "> closes " + (open.empty() ? "nothing" : open.back());
            open.pop_back();
        } else if (!empty && !single.contains(name)) {
            if (name == "script" || name == "style") {
                at = html.find("</" + name + ">", at);
                if (at == std::string_view::npos)
                    return name + " does not end";
                at += name.size() + 3;
            } else {
                open.push_back(name);
            }
        }
    }
    return open.empty() ? "" : "<" + open.back() + "> is never closed";
}

} // namespace holdable::tests
