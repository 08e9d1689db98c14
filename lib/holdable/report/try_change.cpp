// SPDX-License-Identifier: MIT
#include "holdable/report/try_change.hpp"

#include "holdable/report/html.hpp"
#include "holdable/report/json.ipp"
#include "holdable/report/svg.hpp"
#include "holdable/report/wording.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace holdable {
namespace {

/// Named by what it does, for it is read in the page's source.
constexpr std::string_view script = R"js(
"use strict";
(function () {
  const data = JSON.parse(document.getElementById("change-data").textContent);
  const normalMany = 1e6; // degrees of freedom taken for the normal law

  function normalCdf(x) { // series about 0; beyond 8 nothing is left
    if (x > 8) return 1;
    if (x < -8) return 0;
    let term = x, sum = x;
    for (let k = 1; k < 300 && Math.abs(term) > 1e-17 * Math.abs(sum); ++k) {
      term *= x * x / (2 * k + 1);
      sum += term;
    }
    return 0.5 + sum * Math.exp(-x * x / 2) / Math.sqrt(2 * Math.PI);
  }
  function logGamma(x) { // Lanczos
    const c = [76.18009172947146, -86.50532032941677, 24.01409824083091,
      -1.231739572450155, 1.208650973866179e-3, -5.395239384953e-6];
    let y = x, sum = 1.000000000190015;
    const t = x + 5.5;
    for (const one of c) sum += one / ++y;
    return (x + 0.5) * Math.log(t) - t + Math.log(2.5066282746310005 * sum / x);
  }
  function incompleteBeta(a, b, x) { // regularised, by its continued fraction
    if (x <= 0) return 0;
    if (x >= 1) return 1;
    if (x > (a + 1) / (a + b + 2)) return 1 - incompleteBeta(b, a, 1 - x);
    const front = Math.exp(logGamma(a + b) - logGamma(a) - logGamma(b) +
      a * Math.log(x) + b * Math.log1p(-x)) / a;
    const tiny = 1e-300;
    let c = 1, d = 1 - (a + b) * x / (a + 1);
    d = 1 / (Math.abs(d) < tiny ? tiny : d);
    let h = d;
    for (let m = 1; m < 5000; ++m) {
      const even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m));
      d = 1 / (Math.abs(1 + even * d) < tiny ? tiny : 1 + even * d);
      c = 1 + even / c;
      h *= d * c;
      const odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1));
      d = 1 / (Math.abs(1 + odd * d) < tiny ? tiny : 1 + odd * d);
      c = 1 + odd / c;
      h *= d * c;
      if (Math.abs(d * c - 1) < 1e-15) break;
    }
    return front * h;
  }
  function cdf(t, dof) {
    if (!(dof < normalMany)) return normalCdf(t);
    const tail = incompleteBeta(dof / 2, 0.5, dof / (dof + t * t)) / 2;
    return t > 0 ? 1 - tail : tail;
  }
  function solve(f, p) { // rising f
    let low = 0, high = 1;
    while (f(high) < p && high < 1e9) high *= 2;
    for (let i = 0; i < 200 && high - low > 1e-14 * high; ++i) {
      const z = (low + high) / 2;
      if (f(z) < p) low = z; else high = z;
    }
    return high;
  }
  function limit(claim, times) {
    let variance = 0, quartic = 0;
    const scaled = {};
    for (const line of claim.lines) {
      const v = Math.pow(line.c * (line.lever < 0 ? 1 : times[line.lever]), 2);
      variance += v;
      if (line.scale !== null) {
        const one = scaled[line.scale] || (scaled[line.scale] = {sum: 0, dof: line.dof});
        one.sum += v;
      } else if (line.dof !== null) {
        quartic += v * v / line.dof;
      }
    }
    for (const name in scaled) quartic += Math.pow(scaled[name].sum, 2) / scaled[name].dof;
    const u = Math.sqrt(variance);
    const dof = quartic > 0 ? variance * variance / quartic : Infinity;
    if (claim.middle !== null) {
      const m = Math.abs(claim.value - claim.middle);
      if (u === 0) return m;
      return u * solve(z => cdf(z - m / u, dof) - cdf(-z - m / u, dof), claim.parts);
    }
    return claim.value + (u > 0 ? u * solve(z => cdf(z, dof), claim.parts) : 0);
  }
  function shown(claim, metres) { // rounded up at two digits
    const number = metres / claim.unit_size;
    const place = Math.floor(Math.log10(Math.abs(number))) - 1;
    const step = Math.pow(10, place);
    let text = (Math.ceil(number / step - 1e-9) * step).toFixed(Math.max(0, -place));
    if (claim.drops_zero) text = text.replace(/^0\./, ".");
    return claim.sign + text + " " + claim.unit;
  }
  function times() {
    return data.levers.map((lever, i) => {
      const field = document.getElementById("change-" + i);
      const value = parseFloat(field.value);
      const good = isFinite(value) && (lever.readings ? value >= 1 : value >= 0);
      field.setAttribute("aria-invalid", good ? "false" : "true");
      if (!good) return 1;
      return lever.readings ? 1 / Math.sqrt(value) : value;
    });
  }
  function update() {
    const now = times();
    data.claims.forEach((claim, i) => {
      const t = limit(claim, now);
      const out = document.getElementById("first-order-" + i);
      out.value = shown(claim, t);
      out.setAttribute("data-metres", String(t));
      document.getElementById("held-" + i).value =
        !claim.applies ? "first order does not apply" :
        t <= claim.tolerance ? "held, first order" : "not held, first order";
    });
  }
  document.getElementById("change").addEventListener("input", update);
  document.getElementById("change-reset").addEventListener("click", () => {
    data.levers.forEach((lever, i) => { document.getElementById("change-" + i).value = "1"; });
    update();
  });
  update();
}());
)js";

bool is_reading_noise(const AuditLine& line) {
    return line.input.evidence == Evidence::measured &&
           (line.input.meaning.find("reading noise") != std::string::npos ||
            line.input.meaning.find("repeats") != std::string::npos);
}

std::string meaning_of(const AuditLine& line) {
    return line.input.meaning.empty() ? line.input.name : line.input.meaning;
}

/// The place of a meaning among the levers, -1 if it is none.
int lever_of(const std::vector<ChangeableDoubt>& levers, const AuditLine& line) {
    const auto meaning = meaning_of(line);
    for (std::size_t i = 0; i < levers.size(); ++i)
        if (levers[i].meaning == meaning)
            return static_cast<int>(i);
    return -1;
}

Json claim_json(const Statement& statement,
                const Claim& claim,
                const std::vector<ChangeableDoubt>& levers,
                Habit h) {
    const auto& a = *claim.audit;
    const auto& callout = statement.answer.callouts.at(claim.callout).callout;
    const auto unit = length_unit(h, a.limit);
    const double tolerance =
        statement.sheet ? claim.offered.value_or(claim.capability.value_or(0)) : callout.tolerance;
    Json lines = Json::array();
    for (const auto& line : a.lines)
        lines.push_back(
            {{"c", finite(line.contribution, "contribution")},
             {"dof", line.dof ? finite(*line.dof, "dof") : Json(nullptr)},
             {"scale", line.input.scale.empty() ? Json(nullptr) : Json(line.input.scale)},
             {"lever", lever_of(levers, line)}});
    return {{"name", claim.feature},
            {"value", finite(a.value, "value")},
            {"middle", a.two_sided ? finite(a.middle, "middle") : Json(nullptr)},
            {"parts", finite(a.parts, "parts")},
            {"applies", a.applies},
            {"tolerance", finite(tolerance, "tolerance")},
            {"unit", unit.spelling},
            {"unit_size", finite(unit.size, "unit")},
            {"drops_zero", unit.drops_zero},
            {"sign", zone_sign(callout)},
            {"lines", std::move(lines)}};
}

} // namespace

std::vector<ChangeableDoubt> changeable_doubts(const Statement& statement, std::size_t most) {
    std::vector<std::pair<ChangeableDoubt, double>> all; // with the largest share in any claim
    for (const auto& claim : statement.claims) {
        if (!claim.audit)
            continue;
        std::vector<double> shares(all.size(), 0);
        for (const auto& line : claim.audit->lines) {
            const auto meaning = meaning_of(line);
            auto at = std::find_if(all.begin(), all.end(), [&](const auto& one) {
                return one.first.meaning == meaning;
            });
            if (at == all.end()) {
                all.push_back({{meaning, line.input.evidence, is_reading_noise(line)}, 0});
                shares.push_back(0);
                at = all.end() - 1;
            }
            shares[static_cast<std::size_t>(at - all.begin())] += line.share;
        }
        for (std::size_t i = 0; i < all.size(); ++i)
            all[i].second = std::max(all[i].second, shares[i]);
    }
    std::stable_sort(
        all.begin(), all.end(), [](const auto& a, const auto& b) { return a.second > b.second; });
    std::vector<ChangeableDoubt> levers;
    for (const auto& [lever, share] : all)
        if (levers.size() < most && share > 0.005)
            levers.push_back(lever);
    // What a shop changes first is there, be it small: a certificate, repeats, a temperature.
    const auto also = [&](const auto& is) {
        const auto best =
            std::find_if(all.begin(), all.end(), [&](const auto& one) { return is(one.first); });
        if (best != all.end() && std::none_of(levers.begin(), levers.end(), is))
            levers.push_back(best->first);
    };
    also([](const ChangeableDoubt& one) { return one.evidence == Evidence::certificate; });
    also([](const ChangeableDoubt& one) { return one.readings; });
    also([](const ChangeableDoubt& one) {
        return one.meaning.find("temperature") != std::string::npos;
    });
    return levers;
}

std::string try_change_section(const Statement& statement, const Edition& edition) {
    const auto levers = changeable_doubts(statement);
    const auto h = edition.units == PageUnits::inch     ? Habit::inch
                   : edition.units == PageUnits::metric ? Habit::metric
                                                        : habit(statement.answer.inch);
    Json data = {{"levers", Json::array()}, {"claims", Json::array()}};
    std::string html =
        "<section class=\"change\" id=\"change\">\n<h2>Try a change (first order)</h2>\n"
        "<p>Change a doubt and see what the next part would keep. First order only: the numbers of "
        "the page above are simulated, and stay.</p>\n"
        "<noscript><p>This needs scripts to be allowed in the browser.</p></noscript>\n"
        "<table><thead><tr><th scope=\"col\">Doubt</th><th scope=\"col\">rests on</th>"
        "<th scope=\"col\">change</th></tr></thead><tbody>\n";
    for (std::size_t i = 0; i < levers.size(); ++i) {
        const auto& lever = levers[i];
        data["levers"].push_back({{"meaning", lever.meaning}, {"readings", lever.readings}});
        html += fmt::format(
            "<tr><td><label for=\"change-{0}\">{1}</label></td><td>{2}</td>"
            "<td><input id=\"change-{0}\" type=\"number\" min=\"{3}\" step=\"any\" value=\"1\"> {4}"
            "</td></tr>\n",
            i,
            xml_escaped(lever.meaning),
            xml_escaped(evidence_words(lever.evidence)),
            lever.readings ? 1 : 0,
            lever.readings ? "times as many readings" : "times as large");
    }
    html +=
        "</tbody></table>\n<p><button type=\"button\" id=\"change-reset\">as it is</button></p>\n"
        "<table><thead><tr><th scope=\"col\">Claim</th><th scope=\"col\">next part within</th>"
        "<th scope=\"col\">of</th><th scope=\"col\">so</th></tr></thead><tbody>\n";
    for (const auto& claim : statement.claims) {
        if (!claim.audit)
            continue;
        const auto i = data["claims"].size();
        data["claims"].push_back(claim_json(statement, claim, levers, h));
        const auto& callout = statement.answer.callouts.at(claim.callout).callout;
        html += fmt::format(
            "<tr><td>{0}</td><td><output id=\"first-order-{1}\"></output></td>"
            "<td>{2}</td><td><output id=\"held-{1}\"></output></td></tr>\n",
            xml_escaped(claim.feature),
            i,
            xml_escaped(
                statement.sheet
                    ? claimed(claim.offered.value_or(claim.capability.value_or(0)), 0, callout, h)
                    : zone_asked(callout, h)));
    }
    html += "</tbody></table>\n<script type=\"application/json\" id=\"change-data\">";
    html += script_escaped(data.dump());
    html += "</script>\n<script>";
    html += script;
    html += "</script>\n</section>\n";
    return html;
}

} // namespace holdable
