// SPDX-License-Identifier: MIT
// The one policy under which Boost.Math is called; included by .cpp files only.
//
// Every error throws, so a NaN never comes back. No promotion to long double: double arithmetic
// is what the rest of the library has, and the long double one costs several times more.
#pragma once

#include <boost/math/policies/policy.hpp>

namespace holdable::stats {

using BoostPolicy = boost::math::policies::policy<
    boost::math::policies::domain_error<boost::math::policies::throw_on_error>,
    boost::math::policies::pole_error<boost::math::policies::throw_on_error>,
    boost::math::policies::overflow_error<boost::math::policies::throw_on_error>,
    boost::math::policies::evaluation_error<boost::math::policies::throw_on_error>,
    boost::math::policies::promote_float<false>,
    boost::math::policies::promote_double<false>>;

/// The same with 12 digits, for the nodes of tables whose own error is larger.
using BoostTablePolicy =
    boost::math::policies::normalise<BoostPolicy, boost::math::policies::digits10<12>>::type;

} // namespace holdable::stats
