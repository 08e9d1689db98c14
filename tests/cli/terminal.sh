#!/bin/sh
# On a real terminal, which script(1) makes: verdicts are bold and progress is drawn and erased; with
# NO_COLOR nothing is bold, with TERM=dumb there is neither, and a pipe gets the bare words whatever the
# surroundings. Where there is no script(1) it is skipped: exit status 77. $1 is the program, $2 a machine
# file, $3 a job file of which something is YES.
command -v script >/dev/null 2>&1 || { echo "skipped: no script(1)"; exit 77; }
program=$1 machine=$2 job=$3
escape=$(printf '\033')
unset NO_COLOR

# on_terminal VARIABLES...: what a terminal gets
on_terminal() {
    env "$@" script -qec "'$program' answer '$machine' '$job'" /dev/null < /dev/null
}
fail() {
    echo "$1"
    exit 1
}
bare=$(env TERM=xterm "$program" answer "$machine" "$job" 2>&1)
case $bare in
*"$escape"*) fail "a pipe gets escapes" ;;
*"MAKE        YES"*) ;;
*) fail "no answer: $bare" ;;
esac
full=$(on_terminal TERM=xterm)
case $full in
*"simulating parts"*"$escape[K"*"MAKE        $escape[1mYES$escape[0m"*) ;;
*) fail "no progress or nothing bold on a terminal: $full" ;;
esac
case $(on_terminal TERM=xterm NO_COLOR=1) in
*"$escape["[0-9]*m*) fail "bold in spite of NO_COLOR" ;;
*"simulating parts"*"MAKE        YES"*) ;;
*) fail "no answer with NO_COLOR" ;;
esac
case $(on_terminal TERM=dumb) in
*"$escape"* | *simulating*) fail "more than words on a dumb terminal" ;;
*"MAKE        YES"*) ;;
*) fail "no answer on a dumb terminal" ;;
esac
