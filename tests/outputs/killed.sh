#!/bin/sh
# Killed in mid-write, by strace(1) at each system call on the way: the old file is there as it was, or the new
# one whole, and the next run works. Without strace, or where it may not trace: skipped, exit status 77.
# $1 the program, $2 a machine file, $3 a job file.
. "$(dirname "$0")/lib.sh"
strace -o /dev/null true 2> /dev/null || { echo "skipped: no strace(1)"; exit 77; }
table whole.svg || fail "no picture"
"$program" new machine --inch --on 2025-04-07 whole.json 2> said || fail "no file"

# killed_at CALLS COMMAND…: ends it as it is about to do the first of these
killed_at() {
    calls=$1
    shift
    strace -o /dev/null -e trace="$calls" -e inject="$calls":signal=KILL:when=1 "$@" > out 2> said < /dev/null
}
for call in write fsync fchmod rename,renameat,renameat2; do
    echo old > page.svg
    killed_at $call "$program" plot "$machine" --picture table --on 2025-04-07 --svg page.svg
    [ $? -eq 137 ] || fail "$call did not happen"
    [ "$(cat page.svg)" = old ] || fail "killed at $call: the old file is not as it was"
    table page.svg || fail "killed at $call: the next run"
    cmp -s page.svg whole.svg || fail "killed at $call: the next run gave something else"
    rm page.svg
    killed_at $call "$program" plot "$machine" --picture table --on 2025-04-07 --svg page.svg
    [ ! -e page.svg ] || fail "killed at $call: half a file is there"
done
for call in write fsync link,linkat unlink,unlinkat; do
    killed_at $call "$program" new machine --inch --on 2025-04-07 new.json
    [ $? -eq 137 ] || fail "$call did not happen"
    [ ! -e new.json ] || cmp -s new.json whole.json || fail "killed at $call: half a file is there"
    rm -f new.json
done
# What it had begun stays, named so that anybody sees what it is, and nothing else.
others=$(ls -A | grep -vE '^(holdable-[A-Za-z0-9]{6}\.part|out|said|whole\.svg|whole\.json|page\.svg)$')
[ -z "$others" ] || fail "something else is left: $others"
