#!/bin/sh
# Writing where it cannot be done, with the real program: full disks, limits of size, pipes that nobody reads,
# folders and files that are shut. What was there before stays, nothing half-written is there, the exit status
# and one sentence say so. $1 the program, $2 a machine file, $3 a job file.
. "$(dirname "$0")/lib.sh"

# ---- standard output
if [ -e /dev/full ]; then
    for arguments in units --help --man --version "new machine --inch" "completion" "machine $machine" \
        "proofread $machine" "plot $machine --picture table" "answer $machine $job --json --trials 500"; do
        [ "$arguments" = completion ] && arguments="--completion bash"
        "$program" $arguments > /dev/full 2> said
        [ $? -eq 70 ] || fail "$arguments on a full disk"
        grep -q "cannot write the result: .*No space left" said || fail "$arguments does not say why"
        [ "$(wc -l < said)" -eq 1 ] || fail "$arguments says more than that"
    done
    # where nothing can be said the status still is
    "$program" machine none.json > out 2> /dev/full
    [ $? -eq 3 ] || fail "the status is lost with the message"
fi
"$program" units > out 2> said >&-
[ $? -eq 70 ] || fail "standard output is closed"
table shut.svg 2> said >&- || fail "standard output is closed, and not needed"

# A pipe whose reader has gone: the signal ends the program without noise; where it is ignored, it is told.
mkfifo pipe
for arguments in "units" "machine $machine" "plot $machine --picture table"; do
    : < pipe &
    exec 3> pipe
    wait
    "$program" $arguments >&3 2> said
    [ $? -eq 141 ] || fail "$arguments into a closed pipe, status $?"
    [ ! -s said ] || fail "$arguments makes noise at a closed pipe"
    (
        trap '' PIPE
        "$program" $arguments >&3 2> said
        [ $? -eq 70 ]
    ) || fail "$arguments into a closed pipe, the signal ignored"
    grep -q "cannot write the result: .*Broken pipe" said || fail "$arguments does not say why"
    exec 3>&-
done

# ---- files
echo old > old.svg
if [ -e /dev/full ]; then
    status 3 table /dev/full
    grep -q '"/dev/full": No space left on device \[file-unwritable\]' said || fail "a full disk"
fi
limited() { (ulimit -f 1 && table "$1"); }
status 3 limited old.svg
grep -q "File too large \[file-unwritable\]" said || fail "a limit of size"
status 3 limited new.svg
(ulimit -f 1 && "$program" machine "$machine" > cut 2> told)
[ $? -eq 70 ] || fail "a limit of size on standard output"
grep -q "File too large" told || fail "a limit of size on standard output: $(cat told)"
touch plain
status 3 table plain/x.svg
grep -q "Not a directory" said || fail "a file is no folder"
status 3 table none/x.svg
grep -q "No such file" said || fail "a folder that is not there"
mkdir a-folder
status 3 table a-folder
grep -q "Is a directory" said || fail "a folder is no file"
status 3 "$program" new job --inch plain/x.json
status 3 "$program" new job --inch none/x.json
[ "$(cat old.svg)" = old ] || fail "the old file is not as it was"
[ ! -e new.svg ] || fail "half a file is there"
[ -z "$(ls a-folder)" ] || fail "something is in the folder"

# A device or a pipe is written to as it stands.
status 0 table /dev/null
[ -c /dev/null ] || fail "/dev/null is no device any more"
table pipe & cat pipe > through.svg
wait
tail -n 1 through.svg | grep -q '</svg>' || fail "a pipe did not get all"

# A file that is there is replaced, its mode and a link to it stay.
chmod 600 old.svg
ln -s old.svg link.svg
status 0 table link.svg
[ -L link.svg ] || fail "the link is gone"
tail -n 1 old.svg | grep -q '</svg>' || fail "what it points to was not written"
[ "$(stat -c %a old.svg)" = 600 ] || fail "the mode has changed"
cmp -s old.svg shut.svg || fail "the same picture differs"

# Who may not write: nobody, where this is run by root.
echo old > kept.svg
mkdir shut
echo old > shut/kept.svg
chmod 444 kept.svg
chmod 555 shut
chmod 755 "$folder"
if [ "$(id -u)" -ne 0 ]; then
    as_anybody() { "$@"; }
elif command -v setpriv > /dev/null && setpriv --reuid=65534 --clear-groups test -x "$program" -a -r "$machine"; then
    as_anybody() { setpriv --reuid=65534 --clear-groups "$@"; }
else
    echo "left out: this is root, and there is no setpriv to be another"
    as_anybody() { echo "file-unwritable"; return 3; }
fi
for file in kept.svg shut/kept.svg shut/new.svg; do
    status 3 as_anybody "$program" plot "$machine" --picture table --svg $file
    grep -q "file-unwritable" said out || fail "$file"
done
status 3 as_anybody "$program" new job --inch shut/new.json
[ "$(cat kept.svg shut/kept.svg)" = "old
old" ] || fail "a file that is write-protected has changed"
[ "$(ls shut)" = kept.svg ] || fail "something is in the folder that is shut: $(ls shut)"

# A disk that is really full, where one may be made.
cat > full.sh <<'END'
mount -t tmpfs -o size=8k none shut 2> /dev/null || exit 77
echo old > shut/old.svg
"$1" plot "$2" --picture table --svg shut/old.svg 2> told
[ $? -eq 3 ] && grep -q "No space left on device" told && [ "$(cat shut/old.svg)" = old ] &&
    [ "$(ls shut)" = old.svg ]
END
unshare -m sh full.sh "$program" "$machine" 2> /dev/null
case $? in
0) ;;
1 | 77 | 127) [ ! -e told ] || fail "a full disk: $(cat told)" && echo "left out: no disk can be made here" ;;
*) fail "a full disk" ;;
esac

ls -A | grep -q '\.part$' && fail "something is left: $(ls -A)"
exit 0
