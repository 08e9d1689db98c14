#!/bin/sh
# No network and no other program: strace(1) over every verb sees no socket and no program started but our own;
# with --pdf one more is, and directly. Without strace, or where it may not trace: skipped, exit status 77.
# $1 the program, $2 a machine file, $3 a job file.
. "$(dirname "$0")/lib.sh"
strace -f -o /dev/null true 2> /dev/null || { echo "skipped: no strace(1)"; exit 77; }
demo=$(dirname "$machine")
traced() {
    strace -f -e trace=%network,execve,fork,vfork -o calls "$@" > out 2> said < /dev/null
    [ $? -le 1 ] || fail "it does not run: $*"
    ! grep -E 'socket|connect|send|recv|bind\(|listen' calls || fail "it talks to a network: $*"
}
while read -r arguments; do
    traced "$program" $arguments
    [ "$(grep -c execve calls)" -eq 1 ] || fail "it starts a program: $arguments: $(cat calls)"
    ! grep -E '^[0-9]+ +v?fork' calls || fail "it starts a process: $arguments"
done <<END
units
--help
--man
new machine --inch
proofread $machine $job
machine $machine
machine $machine --json
answer $machine $job --trials 500
where $machine $job
improve $machine $job
statement $machine $job --on 2025-04-07 --trials 500 --shop --html page.html
plot $machine $job --picture parts --svg parts.svg
gauging $demo/../gauging/bore-yes.json
budget $demo/../published/gum-h1-end-gauge.json --trials 20000
END
mkdir programs
printf '#!/bin/sh\nexit 1\n' > programs/chromium
chmod 755 programs/chromium
strace -f -s 999 -e trace=%network,execve -o calls env PATH="$folder/programs:$PATH" \
    "$program" statement "$machine" "$job" --on 2025-04-07 --trials 500 --pdf page.pdf > out 2> said
[ $? -eq 3 ] && grep -q 'pdf-failed' said || fail "a program that fails"
[ ! -e page.pdf ] || fail "there is a page"
! grep -E 'socket|connect' calls || fail "it talks to a network"
grep 'execve(' calls | grep -v ENOENT > started
# env, ours, the one that prints: its first word is its own file, no shell between
[ "$(wc -l < started)" -eq 3 ] || fail "other programs were started: $(cat started)"
sed -n 3p started | grep -q "execve(\"$folder/programs/chromium\", \[\"$folder/programs/chromium\", \"--headless\"" ||
    fail "not as it should be: $(sed -n 3p started)"
