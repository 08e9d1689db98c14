# What the tests of this folder share; read in by ".". Sets $program, $machine and $job from the
# arguments, goes into an empty folder that is removed at the end, and knows:
#   fail TEXT          says it and ends
#   status N COMMAND…  runs it, output to "out", diagnostics to "said"; fails unless it ends with N
# Tests run without what the machine lacks, and say what that was.
program=$1 machine=$2 job=$3
folder=$(mktemp -d) || exit 1
trap 'chmod -R u+w "$folder" 2> /dev/null; rm -rf "$folder"' EXIT
cd "$folder" || exit 1
umask 022

fail() {
    echo "$1"
    [ ! -s said ] || { echo "said:" && cat said; }
    exit 1
}
status() {
    wanted=$1
    shift
    "$@" > out 2> said < /dev/null
    got=$?
    [ $got -eq "$wanted" ] || fail "ended with $got, not $wanted: $*"
}
# table FILE: the quickest picture
table() {
    "$program" plot "$machine" --picture table --on 2025-04-07 --svg "$1"
}
