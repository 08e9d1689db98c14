#!/bin/sh
# Names with markup, quotes and backslashes from a machine and a job file through every verb, with the real
# program: pages for a browser and pictures hold them as words and never as elements, results for programs as
# strings. Characters that steer a terminal or turn the direction of writing reach none of them, from a file or
# from the name of one. $1 the program, $2 a machine file, $3 a job file.
. "$(dirname "$0")/lib.sh"
hostile='</title></text></script><script>alert(1)</script><img src=x onerror=alert(1)>&quot;&#39;\\\"'"'"'`{{x}}`]]>-->'
put() { # FROM TO WORDS: in place of the names of the shop, the machine, the job, its callout and a square
    sed -e 's~Hollow Oak Machine Shop (invented)~@~; s~the small mill by the window~@~' \
        -e 's~8 in square~@~g; s~one bore (invented)~@~; s~"id": "bore"~"id": "@"~' "$1" > half
    awk -v words="$3" '{
        while ((at = index($0, "@")) > 0) {
            printf "%s%s", substr($0, 1, at - 1), words
            $0 = substr($0, at + 1)
        }
        print
    }' half > "$2"
}
put "$machine" machine.json "$(printf '%s' "$hostile" | sed 's/\\/\\\\/g')"
put "$job" job.json "$(printf '%s' "$hostile" | sed 's/\\/\\\\/g')"
grep -qF 'onerror' machine.json || fail "the machine file is as it was"
grep -qF 'onerror' job.json || fail "the job file is as it was"

# steers FILE: whether anything in it steers a terminal, ends a line unseen or turns the direction of writing
steers() {
    LC_ALL=C grep -qP '[\x00-\x08\x0b-\x1f\x7f]|\xc2[\x80-\x9f]|\xd8\x9c|\xe2\x80[\x8e\x8f\xa8-\xae]|\xe2\x81[\xa6-\xa9]' "$1"
}
printf 'a\342\200\256b\n' > turned
steers turned || { echo "skipped: grep -P does not see bytes here"; exit 77; }

quick="--on 2025-04-07"
for arguments in "machine machine.json" "answer machine.json job.json --trials 500" \
    "where machine.json job.json" "improve machine.json job.json" \
    "statement machine.json job.json --trials 500"; do
    for form in "" --json; do
        "$program" $arguments $quick $form > out 2> said
        [ $? -le 1 ] || fail "$arguments $form"
        ! steers out || fail "$arguments $form steers the terminal"
        [ -z "$form" ] || python3 -c 'import json,sys; json.load(open("out"))' 2> said ||
            ! command -v python3 > /dev/null || fail "$arguments: no JSON"
        [ -z "$form" ] || grep -qF 'alert(1)</script><img' out || fail "$arguments $form lost the name"
    done
done

# A page and pictures: no element of the file's, and nothing is fetched from anywhere.
"$program" statement machine.json job.json --trials 500 $quick --shop --audit --html page.html 2> said ||
    fail "no page"
set -- page.html
for picture in axis checks table; do
    "$program" plot machine.json --picture $picture $quick --svg $picture.svg 2> said || fail "no $picture"
    set -- "$@" $picture.svg
done
for picture in contributions parts place yield; do
    "$program" plot machine.json job.json --picture $picture --trials 500 --svg $picture.svg 2> said ||
        fail "no $picture"
    set -- "$@" $picture.svg
done
for file; do
    ! grep -qE '<script>alert|<img|onerror=alert\(1\)>|</title></text>' "$file" || fail "$file has elements of the file's"
    ! steers "$file" || fail "$file steers"
    # the name of the SVG language is no address; nothing else may be
    sed 's~http://www.w3.org/2000/svg~~g' "$file" > without
    ! grep -qE '(https?|ftp|file|data|javascript):[^ ]|<(link|iframe|object|embed|base)\b|@import|url\([^#]|(<[a-z]+|") src=' without ||
        fail "$file asks for something: $(grep -oE '.{30}((https?|ftp|file|data|javascript):[^ ]|<(link|iframe|object|embed|base)|@import|url\([^#]|src=).{20}' without | head -n 3)"
done
grep -qF '&lt;script&gt;alert(1)&lt;/script&gt;' page.html || fail "the page lost the name"

# What steers: refused in a file, and spelled out where the name of a file has it.
for character in '\\u001b[2J' '\\u009b2J' '\\u202eevil' '\\u2066' '\\u200f' '\\u0085' '\\u2028' '\\u0007'; do
    put "$machine" steering.json "$character"
    status 3 "$program" machine steering.json --on 2025-04-07
    ! steers said || fail "$character is repeated"
    grep -q '^steering.json:[0-9]*:[0-9]*: error: ' said || fail "$character: no place is told"
done
steering=$(printf 'x\033[2J\302\233\342\200\256.json')
cp machine.json "$steering"
for arguments in machine statement proofread "machine --json" "statement --json"; do
    on="--on 2025-04-07"
    [ "$arguments" != proofread ] || on=
    "$program" $arguments "$steering" $on > out 2> said || [ "$arguments" = statement ] ||
        [ "$arguments" = "statement --json" ] || fail "$arguments of a file with such a name"
    ! steers out || fail "$arguments: the name of the file steers"
    ! steers said || fail "$arguments: the name of the file steers"
done
"$program" machine "$steering" --json --on 2025-04-07 > out
grep -qF '"name": "x\u001b[2J\u009b\u202e.json"' out || fail "the name of the file is not in the result"
status 2 "$program" "$steering"
! steers said || fail "a verb that is none steers"
status 2 "$program" plot machine.json --picture "$steering"
! steers said || fail "an option steers"
exit 0
