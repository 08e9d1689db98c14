#!/bin/sh
# What a result for programs was made from, with the real program: version, the SHA-256 of each file read, by
# sha256sum(1), also of what came through a pipe, and the seed. The same files give the same bytes on any number
# of threads. $1 the program, $2 a machine file, $3 a job file.
. "$(dirname "$0")/lib.sh"
command -v sha256sum > /dev/null || { echo "skipped: no sha256sum(1)"; exit 77; }
demo=$(dirname "$machine")
gauging=$demo/../gauging/positioning-yes.json
budget=$demo/../published/gum-h1-end-gauge.json
version=$("$program" --version)
version=${version#holdable }
cp "$machine" machine.json
cp "$job" job.json

has() { # FILE NAME
    digest=$(sha256sum < "$1")
    grep -A 1 -F "\"name\": \"$2\"" out | grep -qF "\"sha256\": \"${digest%% *}\"" || fail "$2 has another digest"
}
check() { # NUMBER ARGUMENTS: number of files
    count=$1
    shift
    "$program" "$@" > out 2> said < machine.json
    [ $? -le 1 ] || fail "$*"
    grep -qF "\"version\": \"$version\"" out || fail "no version: $*"
    [ "$(grep -c '"sha256"' out)" -eq "$count" ] || fail "not $count files: $*"
}
check 1 machine machine.json --json
has machine.json machine.json
for verb in answer where improve statement; do
    check 2 $verb machine.json job.json --json --on 2025-04-07 --seed 7
    has machine.json machine.json
    has job.json job.json
    grep -qE '"seed": 7(,|$)' out || fail "no seed: $verb"
done
check 2 answer - job.json --json
has machine.json "standard input"
has job.json job.json
check 1 answer machine.json --ask "perp Ø.001 over 3.00 at 8,6" --json --on 2025-04-07
has machine.json machine.json
check 1 budget "$budget" --json --trials 20000 --seed 7
has "$budget" gum-h1-end-gauge.json
grep -qE '"seed": 7,' out || fail "no seed: budget"
check 1 gauging "$demo/../gauging/bore-yes.json" --json
has "$demo/../gauging/bore-yes.json" bore-yes.json
check 2 gauging "$gauging" --json
has "$gauging" positioning-yes.json
has "$machine" machine.json

# The same again, on any number of threads, to the last byte.
for arguments in "answer machine.json job.json --json" "where machine.json job.json --json" \
    "improve machine.json job.json --json" "budget $budget --json --trials 30000" \
    "budget $budget --json --trials 65536 --quasi" "plot machine.json job.json --picture yield" \
    "statement machine.json job.json --json --on 2025-04-07"; do
    for threads in 1 2 3 5; do
        "$program" $arguments --threads $threads > $threads.out 2> said
        [ $? -le 1 ] || fail "$arguments"
        cmp 1.out $threads.out || fail "$arguments differs on $threads threads"
    done
done
