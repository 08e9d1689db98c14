// SPDX-License-Identifier: MIT
// Functions compiled twice, for AVX2 and for any x86-64, chosen when the program starts.
//
// Both do the same IEEE operations (AVX2 brings no fused multiply-add), so the bits are equal.
// What is called inside must be inlined to gain.
#pragma once

#if defined(__x86_64__) && defined(__linux__) && !defined(__AVX2__) &&                             \
    !defined(__SANITIZE_ADDRESS__)
#define HOLDABLE_CLONES __attribute__((target_clones("avx2", "default")))
#else
#define HOLDABLE_CLONES
#endif
