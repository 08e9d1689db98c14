// SPDX-License-Identifier: MIT
// The texts of `scaffold`. <<a|b>> is a in inch files, b in metric ones; <<name>> is a fact.
#include <string_view>

namespace holdable {
namespace {

constexpr std::string_view machine_text = R"_(// The machine file of your shop, begun by `holdable new machine`.
//
// What stands behind // on a line is a remark to you. <<invented>>
// go through it from the top and put in what is true of your machine. As long as
// something is still called EXAMPLE, every answer says so.
//
// After each change:  holdable proofread FILE    what is mistyped, by line
//                     holdable machine FILE      what the readings say
// What each word means, and what else may stand here: docs/files.md
{
  "holdable": "machine/1",
  "shop": "<<shop>>", // as it shall stand on a page
  "machine": "<<machine>>", // what you call it
  "units": "<<inch|metric>>", // what pages print; every number says its own unit

  // From the work to the tool: X table on a Y saddle, then Z.
  "axes": "XYZ",
  // What stands on the floor. "after Y": the head goes up and down. "after Z": a knee
  // lifts the table.
  "ground": "<<ground>>",
  // As the control counts: Z 0 is the top, so the bottom is minus.
  "travel": {
    "X": {"from": "<<0 in|0 mm>>", "to": "<<x>>"},
    "Y": {"from": "<<0 in|0 mm>>", "to": "<<y>>"},
    "Z": {"from": "-<<z>>", "to": "<<0 in|0 mm>>"}
  },
  "nose_to_table": "<<nose>>", // spindle nose to table, Z at 0
  // Taken for whatever you have not measured, and said so: "benchtop", "knee mill",
  // "entry vmc", "good vmc" or "jig borer". When in doubt, the coarser one.
  "class": "<<class>>",

  // What you check the machine with.
  "instruments": [
    {
      "id": "EXAMPLE indicator", "kind": "indicator",
      "resolution": "<<resolution>>", // the least that you read, as half a division
      // One place touched ten times over: let the lever down, read, lift, again.
      "repeatability": {"readings": "0 0 0.5 0 -0.5 0 0 0.5 0 0", "unit": "<<0.0001 in|2 µm>>"}
    },
    {
      "id": "EXAMPLE square", "kind": "square", "length": "<<square>>",
      // With a certificate put that here instead: its deviation, the way it leans, U and k.
      "grade": "<<grade>>"
    },
    {
      "id": "EXAMPLE level", "kind": "level",
      "division": "<<division>>", // one line on the vial
      "read_to": 0.2 // the part of a line that you still tell
    }
  ],

  // What you measure parts with. A job names one of these for what it is to prove.
  "gauges": [
    {
      "id": "EXAMPLE bore gauge", "range": ["<<1 in|25 mm>>", "<<2 in|50 mm>>"],
      "instrument": {"name": "two-point bore gauge", "resolution": "<<0.0001 in|1 µm>>",
                     "max_error": "<<0.0001 in|2 µm>>"}, // its maker's limit of error
      "master": {"name": "setting ring",
                 "certificate": {"number": "EXAMPLE 1", "U": "<<0.00004 in|1 µm>>", "k": 2}},
      "repeats": 3, // readings of each part, averaged
      "scatter": {"readings": "0 1 -1 0 1 0 -1 0 1 0", "unit": "<<0.00005 in|1 µm>>"},
      "operators": {"plus_minus": "<<0.00004 in|1 µm>>", "evidence": "typical"},
      "temperature": {"part": "<<70 °F|21 °C>>", "gauge": "<<70 °F|21 °C>>", "gauge_material": "steel",
                      "doubt": "<<2 Δ°F|1 K>>", "corrected": false}
    }
  ],

  // BEFORE ANY CHECK WITH THE DOOR OPEN: lock out the spindle and turn it by hand. Put a
  // vertical head that may sink on a block. Nobody reaches between table, column and
  // spindle while an axis can move. Axes creep. Your maker's manual comes first.
  "checks": [
    // Z square to X: the square stands on the table, the indicator runs up its edge.
    // How, with a drawing: docs/checks/square.md. Better by far: turn the square round
    // and write a second setting; its own error then drops out.
    {
      "id": "EXAMPLE Z to X", "kind": "square", "plane": "ZX", "date": "<<day>>",
      "square": "EXAMPLE square", "indicator": "EXAMPLE indicator",
      "place": ["<<mid_x>>", "<<mid_y>>"], // X and Y of the edge
      "gauge_length": "<<reach>>", // spindle nose to the tip of the indicator
      "base": "<<base>>", // how much of the square is on the table
      "heights": ["<<low>>", "<<middle>>", "<<high>>"], // above the table, where you read
      "unit": "<<0.0001 in|2 µm>>", // of one division of the readings below
      "pressed_reads": "plus", // where the needle goes when the tip is pushed in
      "settings": [
        {
          "leg_points": "+X", // the leg on the table points to the right
          "edge": {
            "touches": "-X face", // the tip is on the side that looks to -X
            "readings": "0 1 2.5", // one a height, as read
            "closing": 0.5 // the first height once more, at the end
          }
        }
      ]
    },
    // Tram: an indicator in the spindle swept round on a block that is moved under its
    // tip. How, with a drawing: docs/checks/tram.md
    {
      "id": "EXAMPLE tram", "kind": "tram", "date": "<<day>>",
      "indicator": "EXAMPLE indicator", "against": "block",
      "place": ["<<mid_x>>", "<<mid_y>>"], "height": "<<1 in|25 mm>>", // top of the block
      "gauge_length": "<<reach>>",
      "sweep_diameter": "<<8 in|200 mm>>", // of the circle of the tip: measure it
      "angles": ["0°", "90°", "180°", "270°"], // 0° is at +X, 90° at +Y
      "unit": "<<0.0001 in|2 µm>>", "pressed_reads": "plus",
      "readings": "0 1.5 2 0.5", "closing": 0
    }
    // Next: Z to Y, the same with "plane": "ZY"; roll and pitch by the level
    // (docs/checks/level.md). `holdable machine FILE` says what is most wanted.
  ],

  // What ended what was known before: "crash", "moved", "re-levelled", "adjusted",
  // "spindle work". Write such a day down when it happens, as
  // {"kind": "crash", "date": "<<day>>", "note": "what happened"}
  "events": []
}
)_";

constexpr std::string_view job_text = R"_(// A job, begun by `holdable new job`: what a customer's print asks for.
//
// What stands behind // on a line is a remark to you. <<invented>>
// put in the print, where the part will lie on your table, and how it will be cut.
//
// After each change:  holdable proofread FILE
// Then:               holdable answer MACHINE FILE
// What each word means, and what else may be asked: docs/files.md, "The job file"
{
  "holdable": "job/1",
  "name": "<<name>>",
  "material": "<<material>>",
  "quantity": <<quantity>>,
  "date": "<<day>>", // when it will be cut
  // Where the part lies on the table, in the coordinates of the machine: from, to.
  "part": {"x": ["<<from_x>>", "<<to_x>>"], "y": ["<<from_y>>", "<<to_y>>"]},
  // Temperature of the part while it is cut, of the screws, and how sure that is.
  "temperatures": {"part": "<<part_temperature>>", "scale": "<<70 °F|21 °C>>", "doubt": "<<2 Δ°F|1 K>>"},
  // Edge finding, tool run-out and the like as is usual in the trade: each is printed
  // as typical. What you have measured goes here instead: docs/files.md, "Process".
  "process": "typical",

  // One entry for each requirement of the print; docs/features/ has a page for each kind.
  "callouts": [
    {
      "id": "bore, square to A",
      "perpendicularity": "Ø<<lean>>",
      "hole": {
        "place": ["<<place_x>>", "<<place_y>>"], // where its axis is on the machine
        "top": "<<top>>", // height of its upper end above the table
        "depth": "<<depth>>",
        "gauge_length": "<<6 in|150 mm>>", // spindle nose to the tip of the tool
        "made_by": "boring" // or "reaming", "drilling", "interpolating"
      },
      // A is a face milled in the same set-up, as large as the part unless "x" and "y"
      // say otherwise. A part that only sits on A: {"name": "A", "kind": "seat"}
      "datum": {"name": "A", "kind": "face", "height": "<<top>>", "gauge_length": "<<4 in|100 mm>>"}
    },
    {
      "id": "bore, diameter",
      "diameter": "<<size>>", // as on the print; also "42 H7"
      // With the id of a gauge of the machine file, PROVE is answered too:
      // "gauge": "EXAMPLE bore gauge",
      "hole": {
        "place": ["<<place_x>>", "<<place_y>>"], "top": "<<top>>", "depth": "<<depth>>",
        "gauge_length": "<<6 in|150 mm>>", "made_by": "boring"
      }
    }
  ]
}
)_";

constexpr std::string_view gauging_text = R"_(// How a part will be measured, begun by `holdable new gauging`: can that prove it good?
//
// What stands behind // on a line is a remark to you. <<invented>>
// put in the print and your gauge.
//
// After each change:  holdable proofread FILE
// Then:               holdable gauging FILE
// What each word means: docs/gauging.md
{
  "holdable": "gauging/1",
  "title": "<<title>>",
  "units": "<<inch|metric>>", // what the page prints
  "inspection": {
    "characteristic": "<<characteristic>>",
    "nominal": "<<nominal>>", "lower": "<<lower>>", "upper": "<<upper>>", // from the print
    "instrument": {
      "name": "<<instrument>>",
      "resolution": "<<resolution>>", // the least that you read
      "max_error": "<<max_error>>" // its maker's limit of error, either way
      // With a certificate put this instead of "max_error":
      // "certificate": {"number": "...", "due": "<<day>>", "U": "<<0.00008 in|2 µm>>", "k": 2}
    },
    // What it is set on. Nothing: delete these two lines.
    "master": {"name": "EXAMPLE setting ring",
               "certificate": {"number": "EXAMPLE 1", "U": "<<0.00004 in|1 µm>>", "k": 2}},
    "repeats": <<repeats>>, // readings of each part, averaged
    // One place of one part read ten times, as read, in divisions of this unit.
    "scatter": {"readings": "0 1 -1 2 0 1 0 -1 1 0", "unit": "<<0.00005 in|1 µm>>"},
    // How far two people would differ. "evidence": "measured" if you tried it.
    "operators": {"plus_minus": "<<0.00004 in|1 µm>>", "evidence": "typical"},
    "temperature": {
      "part": "<<part_temperature>>", "part_material": "<<material>>",
      "gauge": "<<70 °F|21 °C>>", "gauge_material": "steel",
      "doubt": "<<2 Δ°F|1 K>>", // how sure both are
      "corrected": false // whether readings are turned to <<68 °F|20 °C>> before they are judged
    }
  }
}
// A check of the machine can be asked before it is made, too: instead of "inspection"
// stand "machine", "check" and "show" (docs/gauging.md, "A planned check"). Before such
// a check is made: spindle locked out, a vertical head on a block, and nobody between
// table, column and spindle while an axis can move.
)_";

constexpr std::string_view budget_text = R"_(// An uncertainty budget, begun by `holdable new budget`: a bore by a two-point gauge that
// is set on a ring.
//
// What stands behind // on a line is a remark to you. <<invented>>
// put in your readings and papers; or other inputs and another formula for another
// method.
//
// After each change:  holdable proofread FILE
// Then:               holdable budget FILE
// What each word means: docs/budget-file.md. More to copy: budgets/methods/
{
  "holdable": "budget/1",
  "title": "<<title>>",
  "source": "EXAMPLE, invented: say here where the method comes from",
  "coverage": 0.95, // of 100 such intervals, 95 hold the true value
  "inputs": {
    // From a certificate: the value, U and the k it was given with.
    "ring": {"value": "<<ring>>", "kind": "normal", "expanded": "<<ring_u>>", "k": <<ring_k>>,
             "evidence": "certificate", "meaning": "diameter of the setting ring"},
    // Raw readings: their mean and their scatter are worked out.
    "above": {"kind": "readings", "unit": "<<in|µm>>", "values": [<<0.0005, 0.0006, 0.0005, 0.0007, 0.0005|12, 13, 12, 15, 12>>],
              "meaning": "gauge above the ring, five times"},
    // A limit either way: anywhere between is as likely.
    "gauge": {"value": "<<0 in|0 µm>>", "kind": "rectangular", "half_width": "<<max_error>>",
              "evidence": "specification", "meaning": "error of the gauge, by its maker"},
    "last": {"value": "<<0 in|0 µm>>", "kind": "rectangular", "half_width": "<<half_digit>>",
             "evidence": "measured", "meaning": "half of the last digit"},
    "t": {"value": "<<temperature>>", "kind": "rectangular", "half_width": "<<2 Δ°F|1 K>>",
          "evidence": "measured", "meaning": "temperature of part and ring"},
    "t20": {"value": "20 °C", "kind": "fixed", "meaning": "reference temperature"},
    "a_part": {"value": "23.6 µm/m/K", "kind": "rectangular", "half_width": "1 µm/m/K",
               "evidence": "typical", "meaning": "expansion of the part, aluminium 6061"},
    "a_ring": {"value": "11.7 µm/m/K", "kind": "rectangular", "half_width": "1 µm/m/K",
               "evidence": "typical", "meaning": "expansion of the ring, steel"}
  },
  "outputs": {
    // The gauge reads what the bore is above the ring, both as warm as they are.
    "bore": {"formula": "(ring + above + gauge + last)*(1 - (a_part - a_ring)*(t - t20))",
             "unit": "<<in|mm>>"}
  }
}
)_";

} // namespace
} // namespace holdable
