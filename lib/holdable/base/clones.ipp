// SPDX-License-Identifier: MIT
// Functions compiled three times, for AVX-512 (x86-64-v4), AVX2 and any x86-64, chosen when the
// program starts.
//
// All do the same IEEE operations (-ffp-contract=off allows no fused multiply-add), so the bits are
// equal.
// What is called inside must be inlined to gain. HOLDABLE_ONE_PATH leaves the last alone, for
// tests; so do sanitizers, and clang, whose version 14 loses members that are cloned.
#pragma once

#if defined(__x86_64__) && defined(__linux__) && !defined(__AVX2__) && !defined(__clang__) &&      \
    !defined(__SANITIZE_ADDRESS__) && !defined(HOLDABLE_ONE_PATH)
#define HOLDABLE_CLONES __attribute__((target_clones("arch=x86-64-v4", "avx2", "default")))
#else
#define HOLDABLE_CLONES
#endif
