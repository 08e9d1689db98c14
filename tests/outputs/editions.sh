#!/bin/sh
# Every verb refuses every kind of file that it does not read, and every edition that it does not know, with the
# file, the place and what was found. The real program. $1 the program, $2 a machine file, $3 a job file.
. "$(dirname "$0")/lib.sh"
demo=$(dirname "$machine")
cp "$machine" machine.json
cp "$job" job.json
cp "$demo/../gauging/bore-yes.json" gauging.json
cp "$demo/../published/gum-h1-end-gauge.json" budget.json

# refused FILE FOUND ARGUMENTS…: by name
refused() {
    file=$1 found=$2
    shift 2
    status 3 "$program" "$@"
    grep -q "^$file:[0-9]*:[0-9]*: error: .*found \"$found\" \[file-format\]" said || fail "not refused by name: $*"
    [ ! -s out ] || fail "something was computed: $*"
}
for kind in machine job gauging budget; do
    for edition in 0 2 99 01 "" 1.0 18446744073709551617; do
        sed "s~\"$kind/1\"~\"$kind/$edition\"~" $kind.json > other.json
        grep -q "\"holdable\": \"$kind/$edition\"" other.json || fail "no other edition of $kind"
        case $kind in
        machine)
            for verb in machine statement "plot --picture checks"; do
                refused other.json "$kind/$edition" $verb other.json
            done
            for verb in answer where improve statement "plot --picture parts"; do
                refused other.json "$kind/$edition" $verb other.json job.json
            done
            ;;
        job)
            for verb in answer where improve statement "plot --picture parts"; do
                refused other.json "$kind/$edition" $verb machine.json other.json
            done
            ;;
        *) refused other.json "$kind/$edition" $kind other.json ;;
        esac
        status 3 "$program" proofread other.json
        grep -q "error: unknown kind of file \"$kind/$edition\" \[file-format\]" said || fail "$kind/$edition is read"
        case $edition in
        0 | 2 | 99)
            grep -q "hint: this program reads edition 1 of a $kind file and no other" said ||
                fail "$kind/$edition: no hint"
            ;;
        esac
    done
    for other in machine job gauging budget; do
        [ $kind != $other ] || continue
        case $kind in
        machine)
            refused $other.json $other/1 machine $other.json
            refused $other.json $other/1 answer $other.json job.json
            ;;
        job) refused $other.json $other/1 answer machine.json $other.json ;;
        *) refused $other.json $other/1 $kind $other.json ;;
        esac
    done
done
# a result is no input
"$program" machine machine.json --json --on 2025-04-07 > result.json
refused result.json machine-result/1 machine result.json
exit 0
