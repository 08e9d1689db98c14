// SPDX-License-Identifier: MIT
#include "holdable/report/picture.ipp"

#include <string>

namespace holdable {
namespace {

/// A number of the element's own attributes.
double attribute(const std::string& svg, std::string_view name) {
    const auto at = svg.find(fmt::format(" {}=\"", name));
    return std::stod(svg.substr(at + name.size() + 3));
}

} // namespace

std::string standalone_svg(const Picture& picture) {
    constexpr double margin = 24, title = 21, caption = 15;
    const double width = attribute(picture.svg, "width");
    const double height = attribute(picture.svg, "height");
    double y = margin + title;
    std::string head, foot;
    const auto line = [&](std::string& to, double size, bool bold, const std::string& text) {
        to += fmt::format(R"(<text x="{}" y="{}" font-size="{}" fill="{}"{}>{}</text>)"
                          "\n",
                          margin,
                          svg_number(y),
                          size,
                          bold ? black : grey,
                          bold ? R"( font-weight="600")" : "",
                          xml_escaped(text));
        y += 1.4 * size;
    };
    for (const auto& each : text_lines(picture.title, width / 1.09, title, 2))
        line(head, title, true, each);
    const double top = y;
    y += height + 2 * caption;
    for (const auto& each : text_lines(picture.caption, width, caption))
        line(foot, caption, false, each);
    return fmt::format(
        R"x(<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {0} {1}" width="{0}" height="{1}" style="max-width:100%;height:auto" font-family="system-ui, -apple-system, 'Segoe UI', Roboto, 'Helvetica Neue', Arial, sans-serif">
<rect width="{0}" height="{1}" fill="#fff"/>
{2}<g transform="translate({3} {4})">
{5}</g>
{6}</svg>
)x",
        svg_number(width + 2 * margin),
        svg_number(y + margin - caption),
        head,
        margin,
        svg_number(top),
        picture.svg,
        foot);
}

} // namespace holdable
