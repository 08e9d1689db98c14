#!/bin/sh
# `holdable new` with the real program: a file is written once and never overwritten, the questions can be
# answered through a pipe, and where the answers end early nothing is there. $1 is the program.
program=$1
folder=$(mktemp -d) || exit 1
trap 'rm -rf "$folder"' EXIT
cd "$folder" || exit 1
fail() {
    echo "$1"
    exit 1
}
for kind in machine job gauging budget; do
    for unit in inch metric; do
        "$program" new $kind --$unit > $kind-$unit.json 2> said || fail "$kind $unit was not written"
        [ ! -s said ] || fail "$kind $unit: $(cat said)"
        "$program" proofread $kind-$unit.json > said || fail "$kind $unit is wrong: $(cat said)"
    done
done
for unit in inch metric; do
    "$program" answer machine-$unit.json job-$unit.json --trials 500 > said
    [ $? -le 1 ] || fail "no answer of $unit"
    grep -q "EXAMPLE" said || fail "the answer does not say that it is an example"
    "$program" gauging gauging-$unit.json > said
    [ $? -le 1 ] || fail "no gauging of $unit"
    "$program" budget budget-$unit.json --trials 20000 > said || fail "no budget of $unit"
    "$program" machine machine-$unit.json > said || fail "no machine of $unit"
done

"$program" new machine --inch shop.json 2> said || fail "shop.json was not written"
grep -q "lock out the spindle" said || fail "no lock-out is asked for: $(cat said)"
cp shop.json before
"$program" new machine --metric shop.json 2> said
[ $? -eq 3 ] && grep -q '\[file-exists\]' said || fail "an existing file: $(cat said)"
cmp -s shop.json before || fail "an existing file was changed"
printf 'metric\nElm\n' | "$program" new machine --ask-me half.json 2> said
[ $? -eq 2 ] && grep -q "nothing is written" said || fail "answers that end early: $(cat said)"
[ ! -e half.json ] || fail "something half-written is there"
printf 'Elm Street\n\n\n\n\n\n\n\n\n\n\n\n' | "$program" new machine --inch --ask-me asked.json 2> said ||
    fail "the questions: $(cat said)"
grep -q '"shop": "Elm Street"' asked.json || fail "the answer does not stand in the file"
[ "$(ls | grep -c '^asked')" -eq 1 ] || fail "something is left beside the file: $(ls)"
