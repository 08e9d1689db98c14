// SPDX-License-Identifier: MIT
#include "holdable/decide/part_gauge.hpp"

namespace holdable::decide {

Inspection inspection_with(const PartGauge& gauge, const Asked& asked) {
    Inspection i = gauge.how;
    i.title = gauge.name;
    i.characteristic = asked.characteristic;
    i.lower = asked.lower;
    i.upper = asked.upper;
    i.part.expansion = asked.part.expansion;
    i.part.expansion_limit = asked.part.expansion_limit;
    if (i.found && i.found->linearity) {
        i.found->value = i.found->linearity->at(asked.nominal);
        i.found->doubt.standard = i.found->linearity->standard_at(asked.nominal);
    }
    // The size expands; what is read of it errs by `times` as much.
    i.nominal = asked.times * asked.nominal;
    i.resolution *= asked.times;
    if (i.max_error)
        *i.max_error *= asked.times;
    if (i.certificate)
        i.certificate->standard *= asked.times;
    if (i.found) {
        i.found->value *= asked.times;
        i.found->doubt.standard *= asked.times;
        i.found->reference.standard *= asked.times;
    }
    i.master_doubt.standard *= asked.times;
    i.scatter.standard *= asked.times;
    i.operators.standard *= asked.times;
    return i;
}

} // namespace holdable::decide
