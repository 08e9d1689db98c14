// SPDX-License-Identifier: MIT
// Prints the instruction sets that the machine has, one a line. A program of its own: those of
// tests/paths use theirs before main begins.
#include <cstdio>

int main() {
    std::puts("baseline\nchosen");
#if defined(__x86_64__)
    if (__builtin_cpu_supports("avx2"))
        std::puts("avx2");
    if (__builtin_cpu_supports("x86-64-v4"))
        std::puts("avx512");
#endif
    return 0;
}
