// SPDX-License-Identifier: MIT
// Asks the machine before anything that it may lack is run.
#include <cstring>

void print_digest();

int main(int count, char** argument) {
#if defined(__x86_64__)
    if (count > 1 &&
        ((std::strcmp(argument[1], "avx2") == 0 && !__builtin_cpu_supports("avx2")) ||
         (std::strcmp(argument[1], "avx512") == 0 && !__builtin_cpu_supports("x86-64-v4"))))
        return 77;
#endif
    print_digest();
    return 0;
}
