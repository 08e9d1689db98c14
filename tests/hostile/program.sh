#!/bin/bash
# The real program on what no reader of texts sees: files that are none, that are huge, whose names would
# steer a terminal, machines named by other files, and options beyond reason. Each line of the table
# says the exit status and what must be said; nothing may take more memory or time than is allowed.
#
#     tests/hostile/program.sh PROGRAM ROOT FOLDER
set -u
program=$1 root=$2 folder=$3
rm -rf "$folder" && mkdir -p "$folder/a folder" && cd "$folder" || exit 1
failed=0

# status, text that must be said, whole command line; half a minute and 1.5 GB at most
says() {
    local status=$1 text=$2 said got
    shift 2
    said=$( (ulimit -v 1500000; exec timeout 30 "$@") 2>&1 < /dev/null)
    got=$?
    if [ $got -ne "$status" ] || [[ $said != *"$text"* ]]; then
        printf 'status %s and "%s" expected of: %s\ngot %s and\n%s\n' "$status" "$text" "$*" $got "${said:0:600}"
        failed=1
    fi
    if [[ $said == *[$'\x1b\x07\x08\r']* ]] || [[ $said == *$'\u202e'* ]]; then
        printf 'a terminal is steered by: %s\n' "$*"
        failed=1
    fi
}

machine=$root/budgets/demo/machine.json
job=$root/tests/cli/one-bore.json
budget=$root/budgets/published/gum-4.3.3-mass.json

: > empty.json
says 3 'empty.json:1:1: error: unexpected end of input; expected a value [json-syntax]' "$program" budget empty.json
says 3 'unexpected end of input' "$program" proofread empty.json
says 3 'empty.json: 1 mistake' "$program" proofread empty.json "$budget"
says 3 'cannot read the file "a folder": Is a directory [file-unreadable]' "$program" machine 'a folder'
says 3 'cannot read the file "no.json": No such file or directory [file-unreadable]' "$program" answer no.json no.json
says 3 'cannot read standard input: Is a directory [file-unreadable]' bash -c "'$program' budget - < '$folder/a folder'"
says 3 'unexpected end of input' "$program" budget -
says 3 'unexpected end of input' "$program" budget /dev/null

# 200 MB: no more is read than may be
truncate -s 200M zeros.json
says 3 'zeros.json: error: more than 16777216 bytes [json-limit]' "$program" machine zeros.json
says 3 'more than 16777216 bytes [json-limit]' "$program" budget /dev/zero
says 3 'more than 16777216 bytes [json-limit]' bash -c "yes '{' | '$program' gauging -"
says 3 'more than 1000 bytes [json-limit]' "$program" --most-bytes 1000 machine "$machine"
says 0 'Squareness' "$program" --most-bytes 20000 machine "$machine" --on 2025-04-07
says 2 '99999999 is more than 16777216' "$program" --most-bytes 99999999 machine "$machine"
says 2 'is not a whole number from 1 on' "$program" --most-bytes 0 machine "$machine"
rm zeros.json

# a pipe is read as it comes
mkfifo pipe
(cat "$budget" > pipe) &
says 0 'nothing wrong' "$program" proofread pipe

# a machine that another file names: no pipe, no folder, no device, not the file itself
gauging() {
    printf '{"holdable": "gauging/1", "title": "t", "machine": "%s",
  "check": {"kind": "tram"}, "show": {"within": "0.01 mm"}}' "$1"
}
gauging pipe > of-pipe.json
says 3 'cannot read the file "pipe": it is no regular file [file-unreadable]' "$program" gauging of-pipe.json
gauging 'a folder' > of-folder.json
says 3 'cannot read the file "a folder": it is no regular file [file-unreadable]' "$program" gauging of-folder.json
gauging /dev/zero > of-device.json
says 3 'cannot read the file "/dev/zero": it is no regular file [file-unreadable]' "$program" gauging of-device.json
gauging of-itself.json > of-itself.json
says 3 'of-itself.json:1:14: error: expected a file "machine/1", found "gauging/1" [file-format]' "$program" gauging of-itself.json
gauging gone.json > of-nothing.json
says 3 'cannot read the file "gone.json": No such file or directory [file-unreadable]' "$program" gauging of-nothing.json

# names of files, arguments
evil=$'a\e]0;b\a\u202e.json'
printf '{' > "$evil"
says 3 'a\u001b]0;b\u0007\u202e.json:1:2: error:' "$program" budget "$evil"
says 3 'a\u001b]0;b\u0007\u202e.json: 1 mistake' "$program" proofread "$evil"
says 3 '\u001b[31m' "$program" units $'3 \e[31mmm' mm
says 3 '\xff' "$program" units $'3 \xff' mm
says 3 'U+202E' "$program" answer "$machine" --ask $'perp Ø.001 \u202e over 3'

# options beyond reason
says 4 'can be run, or any number with --streaming' "$program" budget "$budget" --trials 999999999999
says 2 'is more than' "$program" budget "$budget" --trials 99999999999999999999999
says 2 '1000000000 is more than 200000' "$program" answer "$machine" "$job" --trials 1000000000
says 0 'Result ' "$program" budget "$budget" --trials 100000 --threads 100000
says 2 'not a whole number' "$program" budget "$budget" --threads -1
says 3 'bytes are more than the 2000 of a line [ask-text]' "$program" answer "$machine" --ask "$(printf 'x%.0s' {1..3000})"

exit $failed
