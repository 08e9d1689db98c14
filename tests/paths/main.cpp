// SPDX-License-Identifier: MIT
void print_digest();

int main() {
    print_digest();
    return 0;
}
