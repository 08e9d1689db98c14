// SPDX-License-Identifier: MIT
// Bars, not cumulative: one a line, known errors first and apart, each group ranked.
#include "holdable/report/picture.ipp"

#include <algorithm>
#include <cmath>

namespace holdable {
namespace {

constexpr std::size_t most_known = 4, most_shown = 8;
constexpr double row_height = 46, bar_thickness = 13;

Hatch hatch_of(Evidence evidence) {
    switch (evidence) {
    case Evidence::measured:
        return Hatch::solid;
    case Evidence::certificate:
        return Hatch::rising;
    case Evidence::specification:
        return Hatch::falling;
    case Evidence::typical:
        return Hatch::dots;
    case Evidence::assumed:
        break;
    }
    return Hatch::open;
}

/// What is left over for one line.
struct Rest {
    std::size_t count = 0;
    double share = 0;
};

/// One of the two groups, and how it is drawn.
struct Group {
    std::vector<Share> shown;
    Rest rest;

    double sum() const {
        double all = rest.share;
        for (const auto& s : shown)
            all += s.share;
        return all;
    }
};

Group group_of(const Promise& promise, bool known, std::size_t most) {
    Group g;
    for (const auto& s : shares_by_meaning(promise.shares, known)) {
        if (g.shown.size() < most) {
            g.shown.push_back(s);
        } else {
            ++g.rest.count;
            g.rest.share += s.share;
        }
    }
    return g;
}

/// A guess that is not nothing on average: no error that is known.
bool is_expected(const Share& s) {
    return s.known && (s.evidence == Evidence::typical || s.evidence == Evidence::assumed);
}

std::string name_of(const Share& s) {
    return (is_expected(s) ? "to be expected: " : "") + s.meaning;
}

std::string rest_words(const Rest& rest) {
    return fmt::format("{} smaller {}", rest.count, rest.count == 1 ? "one" : "ones together");
}

class Bars {
  public:
    Bars(Sheet& sheet, const Scale& scale) : sheet_(sheet), x_(scale) {}

    void group(const Group& g, std::string_view heading) {
        if (g.shown.empty())
            return;
        sheet_.text(0, y_ + 16, heading, {15, Anchor::start, grey, true});
        sheet_.text(sheet_.width(),
                    y_ + 16,
                    "together " + share_text(g.sum()),
                    {15, Anchor::end, grey, true});
        sheet_.line(0, y_ + 25, sheet_.width(), y_ + 25, {1, line_grey, {}});
        y_ += 36;
        for (const auto& s : g.shown)
            row(name_of(s), std::string(evidence_words(s.evidence)), s.share, hatch_of(s.evidence));
        if (g.rest.count > 0)
            row(rest_words(g.rest), "", g.rest.share, Hatch::crossed);
        y_ += 14;
    }

    double y() const { return y_; }

  private:
    void row(const std::string& name, const std::string& evidence, double share, Hatch hatch) {
        const auto percent = share_text(share);
        const double percent_width = text_width(percent, 15, true);
        sheet_.text(sheet_.width(), y_ + 14, percent, {15, Anchor::end, black, true});
        const double evidence_end = sheet_.width() - std::max(percent_width, 44.0) - 10;
        sheet_.text(evidence_end, y_ + 14, evidence, {14, Anchor::end, grey});
        const double room = evidence_end - text_width(evidence, 14) - 14;
        sheet_.text(0, y_ + 14, shortened(name, room, 15));
        const double from = std::min(x_(0), x_(share));
        sheet_.rectangle(from,
                         y_ + 22,
                         std::abs(x_(share) - x_(0)),
                         bar_thickness,
                         sheet_.fill(hatch),
                         {1.2, ink, hatch == Hatch::open ? "4 3" : ""});
        sheet_.line(x_(0), y_ + 19, x_(0), y_ + 25 + bar_thickness, {1.6, black, {}});
        y_ += row_height;
    }

    Sheet& sheet_;
    Scale x_;
    double y_ = 0;
};

std::string text_of(const Group& g, std::string_view what) {
    std::string text;
    for (const auto& s : g.shown)
        text += fmt::format("{:>6}  {}  {} ({})\n",
                            share_text(s.share),
                            what,
                            blanked(name_of(s)),
                            evidence_words(s.evidence));
    if (g.rest.count > 0)
        text += fmt::format("{:>6}  {}  {}\n", share_text(g.rest.share), what, rest_words(g.rest));
    return text;
}

} // namespace

Picture contributions_picture(const Answer& answer, std::size_t callout, std::string_view id) {
    const auto& a = answer.callouts.at(callout);
    const auto own = picture_id(id, "contributions", callout);
    const auto title = "What limits " + a.callout.name;
    if (!a.computed)
        return nothing_drawn(
            "contributions", title, "Nothing was computed: " + a.reason + ".", own);
    if (a.promise.shares.empty())
        return nothing_drawn("contributions", title, "Nothing that was named limits it.", own);
    const auto known = group_of(a.promise, true, most_known);
    const auto doubt = group_of(a.promise, false, most_shown);

    double low = std::min({0.0, known.rest.share, doubt.rest.share});
    double high = std::max({0.0, known.rest.share, doubt.rest.share});
    for (const auto* g : {&known, &doubt})
        for (const auto& s : g->shown) {
            low = std::min(low, s.share);
            high = std::max(high, s.share);
        }
    Sheet sheet(own, sheet_width);
    Bars bars(sheet, {low, std::max(high, low + 1e-6), 1, sheet_width - 1});
    const bool expected = std::any_of(known.shown.begin(), known.shown.end(), is_expected);
    const std::string errors = expected ? "Known and expected errors" : "Known errors";
    bars.group(known, errors + (low < 0 ? ": to the left they give room back" : ", not corrected"));
    bars.group(doubt, "Doubt");

    const auto zone = zone_promised(a.promise.smallest, a.callout, habit(answer.inch));
    const Share* most = nullptr;
    for (const auto* g : {&known, &doubt})
        for (const auto& s : g->shown)
            if (most == nullptr || s.share > most->share)
                most = &s;
    const auto caption = fmt::format(
        "The largest share of the {} that can be promised: {}, {}, {}. {} make {} of "
        "it, doubt {}.",
        zone,
        name_of(*most),
        share_text(most->share),
        most->known && !is_expected(*most) ? "a known error" : evidence_words(most->evidence),
        errors,
        known.shown.empty() ? "none" : share_text(known.sum()),
        share_text(doubt.sum()));
    const auto text = fmt::format("Share of {}, the tolerance that can be promised:\n{}{}",
                                  zone,
                                  text_of(known, "known"),
                                  text_of(doubt, "doubt"));
    return {"contributions", title, caption, text, sheet.finished(bars.y(), title, caption)};
}

} // namespace holdable
