// SPDX-License-Identifier: MIT
// The page of an answer. Against pages proof-read line by line, of answers made by hand: the engine
// has no part in them, and their numbers were checked by hand (1 in = 25.4 mm, amount = share ·
// zone). Exact: whole pages are compared, and every line of every page is at most 80 characters
// wide, counted here by decoding UTF-8.
#include "holdable/report/answer_text.hpp"

#include "holdable/base/error.hpp"
#include "report/answer_samples.hpp"

#include <boost/test/unit_test.hpp>

#include <limits>
#include <sstream>

using namespace holdable;

namespace {

const std::string yes_page =
    R"(bearing plate: 25 off, on the white mill of Harbor Tool, for 2026-11-20
bore 2: perpendicular to A within Ø.001 in (0.025 mm) over 3.000 in of depth, at
X 6.000 in, Y 4.000 in

MAKE        YES: limited by tilt of the seat on the parallels
PROVE       YES: proving with "plate and square" costs 13 % of the tolerance,
            most by who measures

Promise     Ø.00083 in (0.021 mm) of Ø.001 in allowed; 95 % of the parts, with
            95 % confidence
How sure    next part good              99.1 %, the yield to expect
            yield assured               96.2 %, with 95 % confidence
            95 % of the parts good      96.2 % confidence; 95 % wanted
            for 99.73 % of the parts    Ø.0011 in (0.027 mm)
            of 25, expect about         0.3 out; 95 % sure of no more than 2
            all 25 good                 81.0 %
            95 % of next parts within   Ø.00070 in; first order Ø.00068 in
            simulated                   4000 × 1000 parts, seed 7

  What limits it                             Ø, in  share  evidence
  known error: Z square to X               +.00020   24 %  measured here
  tilt of the seat on the parallels         .00031   38 %  typical, not measured
  lean of the granite square                .00014   17 %  certificate
  direction of the hole from part to        .00011   13 %  measured here
  part
  Z square to Y                             .00005    6 %  assumed, not measured
  all other doubts                          .00002    2 %

Prove by    plate and square            U = .00012 in (3.0 µm), k = 2.00
            tolerance over U            8.4 to 1
            known error, not corrected  -.000028 in (-0.70 µm)
            readings that prove         up to .00087 in
            tolerance lost              13 %
            good parts refused          3.2 %
            bad parts passed            0.05 %
            tightest to offer here      Ø.00094 in (0.024 mm), cut and proved
Rule        a part is proved good where a reading leaves at most 5 % chance that
            it is not (ISO 14253-1, from memory): limits 1.65 standard
            uncertainties inward

  What limits proof                         u, in  share  evidence
  who measures                            .000047   64 %  typical, not measured
  error of the square "black"             .000035   36 %  certificate

If          - seat clean, part flat where it sits
            - fed by Z
            - read at three places
Left out    - bending of tool and part under cut
            - tool wear over the batch
Note        the calibration of "plate and square" ran out on 2026-11-01
Holds to    2027-03-12 at the longest (from then on the checks are too old), or
            the first crash, move, re-level, adjustment or spindle work
Caution     Not a certificate of conformity, calibration or accreditation.
            Drawing, contract, local codes and licensed practice come first.

Say         "Yes, we can cut bore 2 to Ø.001 in and prove it; Ø.00094 in is the
            tightest I would offer."
)";

const std::string marginal_page =
    R"(bearing plate: 25 off, on the white mill of Harbor Tool, for 2026-11-20
dowel hole: position to A|B|C in a zone Ø.010 in (0.25 mm) = .005 in off centre
in any direction, at both ends of .750 in of depth, at X 6.000 in, Y 4.000 in

MAKE        MARGINAL: limited by tilt of the seat on the parallels
PROVE       CAN'T SAY: no gauge is named to prove it ("gauge"). A gauge with U
            up to .0029 in would do

Promise     Ø.012 in (0.30 mm) of Ø.010 in allowed; 95 % of the parts, with 95 %
            confidence
How sure    next part good              97.1 %, the yield to expect
            yield assured               92.3 %, with 95 % confidence
            95 % of the parts good      88.7 % confidence; 95 % wanted
              if no guess were wrong    93.0 %
            for 99.73 % of the parts    Ø.015 in (0.37 mm)
            of 25, expect about         0.8 out; 95 % sure of no more than 2
            all 25 good                 81.0 %
            95 % of next parts within   Ø.0096 in; first order does not apply
                                        here
            simulated                   4000 × 1000 parts, seed 7

  What limits it                             Ø, in  share  evidence
  known error: Z square to X                +.0027   24 %  measured here
  tilt of the seat on the parallels          .0043   38 %  typical, not measured
  lean of the granite square                 .0019   17 %  certificate
  direction of the hole from part to         .0015   13 %  measured here
  part
  Z square to Y                              .0007    6 %  assumed, not measured
  all other doubts                           .0002    2 %

Tightest    Ø.012 in (0.30 mm) cut; how it is proved is open
Would help  (lock out, and block a vertical head, before reaching between table,
            column and spindle)
            - correct the known errors, first: Z square to X: then Ø.0087 in
              (0.23 mm), YES
            - measure it, now only typical: tilt of the seat on the parallels
If          part lined up with X, A|B|C picked up once
Left out    - bending of tool and part under cut
            - tool wear over the batch
Note        - no temperatures are given: 20 ± 3 °C is taken as typical
            - the check ZX disagrees with the others and the class: its doubt
              was multiplied by 1.9
Holds to    2027-03-12 at the longest (from then on the checks are too old), or
            the first crash, move, re-level, adjustment or spindle work
Caution     Not a certificate of conformity, calibration or accreditation.
            Drawing, contract, local codes and licensed practice come first.

Say         "dowel hole to Ø.010 in is close; today I promise Ø.012 in; Ø.010 in
            after this: correct the known errors, first: Z square to X."
)";

const std::string no_page =
    R"(bearing plate: 25 off, on the white mill of Harbor Tool, for 2026-11-20
bore 2: perpendicular to A within Ø0.010 mm (.00039 in) over 76.20 mm of depth,
at X 152.40 mm, Y 101.60 mm

MAKE        NO: even with every guess at its middle; limited by Z square to X
PROVE       CAN'T SAY: no gauge is named to prove it ("gauge"). A gauge with U
            up to 2.9 µm would do

Promise     Ø0.022 mm (.00084 in) of Ø0.010 mm allowed; 95 % of the parts, with
            95 % confidence
How sure    next part good              3.1 %, the yield to expect
            yield assured               < 0.01 %, with 95 % confidence
            95 % of the parts good      0.04 % confidence; 95 % wanted
              if no guess were wrong    1.2 %
            for 99.73 % of the parts    Ø0.027 mm (.0011 in)
            of 25, expect about         24.3 out; 95 % sure of no more than 25
            all 25 good                 < 0.01 %
            95 % of next parts within   Ø0.018 mm; first order Ø0.018 mm
            simulated                   4000 × 1000 parts, seed 7

  What limits it                             Ø, mm  share  evidence
  known error: Z square to X               +0.0051   24 %  measured here
  tilt of the seat on the parallels         0.0081   38 %  typical, not measured
  lean of the granite square                0.0036   17 %  certificate
  direction of the hole from part to        0.0028   13 %  measured here
  part
  Z square to Y                             0.0013    6 %  assumed, not measured
  all other doubts                          0.0004    2 %

Tightest    Ø0.022 mm (.00084 in) cut; how it is proved is open
Would help  (lock out, and block a vertical head, before reaching between table,
            column and spindle)
            correct the known errors, first: Z square to X: then Ø0.017 mm
            (.00064 in), NO
Left out    - bending of tool and part under cut
            - tool wear over the batch
Note        the check ZX disagrees with the others and the class: its doubt was
            multiplied by 1.9
Holds to    2027-03-12 at the longest (from then on the checks are too old), or
            the first crash, move, re-level, adjustment or spindle work
Caution     Not a certificate of conformity, calibration or accreditation.
            Drawing, contract, local codes and licensed practice come first.

Say         "Not Ø0.010 mm on bore 2 as the machine stands; Ø0.022 mm I can
            promise."
)";

const std::string cant_say_page =
    R"(bearing plate: 25 off, on the white mill of Harbor Tool, for 2026-11-20
bore 2: perpendicular to A within Ø.001 in (0.025 mm) over 3.000 in of depth, at
X 6.000 in, Y 4.000 in

MAKE        CAN'T SAY: not known: the direction of a bored hole
PROVE       CAN'T SAY: no gauge is named to prove it ("gauge"). A gauge with U
            up to .00029 in would do

Promise     none: nothing was computed
Would help  (lock out, and block a vertical head, before reaching between table,
            column and spindle)
            state the direction of a bored hole ("process": "typical")
Left out    - bending of tool and part under cut
            - tool wear over the batch
Note        the check ZX disagrees with the others and the class: its doubt was
            multiplied by 1.9
Holds to    nothing is claimed, so nothing runs out
Caution     Not a certificate of conformity, calibration or accreditation.
            Drawing, contract, local codes and licensed practice come first.

Say         "I cannot say yet whether bore 2 to Ø.001 in will do: not known: the
            direction of a bored hole."
)";

const std::string many_head =
    R"(bearing plate: 25 off, on the white mill of Harbor Tool, for 2026-11-20

    callout                     asked    promised next part  MAKE      PROVE
 1  bore 2              perp Ø.001 in  Ø.00083 in    99.1 %  YES       YES
 2  dowel hole           pos Ø.010 in    Ø.012 in    97.1 %  MARGINAL  CAN'T SAY
 3  bore 3             perp Ø0.010 mm   Ø0.022 mm     3.1 %  NO        CAN'T SAY
 4  a bore whose name…  perp Ø.001 in           -         -  CAN'T SAY CAN'T SAY

Whole part  next part good in 3 of 4    3.0 %, the yield to expect
            yield assured               0.07 %, with 95 % confidence
            of 25, expect about         24.3 out; 95 % sure of no more than 25
            all 25 good                 < 0.01 %

The worst, callout 3 in full; --item N for another
bore 3: perpendicular to A within Ø0.010 mm (.00039 in) over 3.000 in of depth,
at X 6.000 in, Y 4.000 in

)";

void require_narrow(const std::string& page) {
    BOOST_TEST(page.ends_with("\n"));
    std::istringstream lines(page);
    for (std::string line; std::getline(lines, line);) {
        int width = 0;
        for (std::size_t i = 0; i < line.size(); ++width) {
            const auto lead = static_cast<unsigned char>(line[i]);
            i += lead < 0x80 ? 1 : lead < 0xE0 ? 2 : lead < 0xF0 ? 3 : 4;
        }
        BOOST_TEST(width <= 80, line);
        BOOST_TEST(!line.ends_with(" "), line);
    }
}

bool says(const std::string& page, const std::string& words) {
    return page.find(words) != std::string::npos;
}

} // namespace

BOOST_AUTO_TEST_SUITE(answer_page)

BOOST_AUTO_TEST_CASE(one_page_for_each_verdict) {
    BOOST_TEST(answer_text(samples::yes()) == yes_page);
    BOOST_TEST(answer_text(samples::marginal()) == marginal_page);
    BOOST_TEST(answer_text(samples::no()) == no_page);
    BOOST_TEST(answer_text(samples::cant_say()) == cant_say_page);
    for (const auto& page : {yes_page, marginal_page, no_page, cant_say_page})
        require_narrow(page);
}

BOOST_AUTO_TEST_CASE(of_many_a_table_and_the_worst_in_full) {
    const auto page = answer_text(samples::many());
    require_narrow(page);
    BOOST_TEST(page.substr(0, many_head.size()) == many_head);
    BOOST_TEST(says(page, "\nMAKE        NO: even with"));
    BOOST_TEST(!says(page, "MAKE        YES"));
    BOOST_TEST(says(page, "Of 4 I can promise 1."));
}

BOOST_AUTO_TEST_CASE(another_on_request) {
    const auto page = answer_text(samples::many(), 2);
    require_narrow(page);
    BOOST_TEST(says(page, "Callout 2 in full"));
    BOOST_TEST(says(page, "\nMAKE        MARGINAL: "));
    require_narrow(answer_text(samples::many(), 4));
    for (const int item : {0, -1, 5})
        BOOST_CHECK_EXCEPTION(
            answer_text(samples::many(), item), InputError, [](const InputError& e) {
                return e.diagnostics()[0].id == "item-unknown";
            });
}

BOOST_AUTO_TEST_CASE(what_has_one_meaning_is_one_line) {
    auto a = samples::yes();
    auto& shares = a.callouts[0].promise.shares;
    shares[5].meaning = shares[3].meaning; // 1.2 % and 13 %, of different evidence: two lines
    shares[6].meaning = shares[0].meaning; // 0.3 % and 38 %, both typical: one line
    shares[6].share = 0.011;
    const auto page = answer_text(a);
    BOOST_TEST(says(page, "tilt of the seat on the parallels         .00032   39 %"));
    BOOST_TEST(says(page, "direction of the hole from part to        .00011   13 %"));
}

BOOST_AUTO_TEST_CASE(no_is_worse_than_cant_say_and_the_tightest_of_equals_is_worst) {
    auto a = samples::many();
    BOOST_TEST(worst_callout(a) == 2U);
    a.callouts[2].verdict = Verdict::cant_say;
    BOOST_TEST(worst_callout(a) == 2U); // its zone is used up twice; of callout 4 nothing is known
    a.callouts = {samples::yes().callouts[0], samples::yes().callouts[0]};
    a.callouts[1].promise.smallest *= 1.01;
    BOOST_TEST(worst_callout(a) == 1U);
    BOOST_TEST(says(phone_sentence(a), "Both will do."));
}

BOOST_AUTO_TEST_CASE(any_words_stay_within_the_page) {
    auto a = samples::many();
    const std::string word(300, 'w');
    std::string greek;
    for (int i = 0; i < 200; ++i)
        greek += "Ω";
    a.job = a.shop = a.machine = word;
    a.notes = {greek, "tab\tand\nnew line\x1b[31m"};
    for (auto& c : a.callouts) {
        c.callout.name = greek;
        c.callout.plane().name = word;
        c.reason = word;
        c.proof.reason = c.proof.gauge = greek;
        for (auto& source : c.proof.sources)
            source.meaning = word;
        c.left_out = {word};
        c.must_be_true = {word, greek};
        c.to_fix.push_back({greek, 1e-5, Verdict::marginal});
        for (auto& share : c.promise.shares)
            share.meaning = greek;
    }
    a.callouts[0].callout.tolerance = 12.3456789;
    a.callouts[0].callout.written = "12345.678900 mm";
    for (int item = 1; item <= 4; ++item) {
        const auto page = answer_text(a, item);
        require_narrow(page);
        BOOST_TEST(!says(page, "\x1b"));
        BOOST_TEST(!says(page, "\t"));
    }
}

BOOST_AUTO_TEST_CASE(twelve_months_and_one_part_and_no_callout) {
    auto a = samples::yes();
    a.valid_until_is_limit = true;
    a.quantity = 1;
    const auto page = answer_text(a);
    BOOST_TEST(says(page, "2027-03-12 at the longest, or the first crash"));
    BOOST_TEST(!says(page, "expect about"));
    a.callouts.clear();
    BOOST_TEST(says(answer_text(a), "no callouts"));
}

BOOST_AUTO_TEST_CASE(a_number_that_is_none_is_not_printed) {
    auto a = samples::yes();
    a.callouts[0].promise.next_part = std::numeric_limits<double>::quiet_NaN();
    BOOST_CHECK_THROW(answer_text(a), NumericError);
    a = samples::yes();
    a.callouts[0].promise.smallest = std::numeric_limits<double>::infinity();
    BOOST_CHECK_THROW(answer_text(a), NumericError);
}

BOOST_AUTO_TEST_SUITE_END()
