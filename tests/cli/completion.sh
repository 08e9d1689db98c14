#!/bin/bash
# What bash is offered: its completion is asked as bash asks it (COMP_WORDS, COMP_CWORD), in a folder with
# files known here. $1 is the program.
program=$1
folder=$(mktemp -d) || exit 1
trap 'rm -rf "$folder"' EXIT
cd "$folder" || exit 1
mkdir jobs
touch machine.json "my job.json" notes.txt jobs/one.json
script=$("$program" --completion bash) || exit 1
eval "$script"
complete -p holdable | grep -q -- '-F _holdable holdable' || { echo "not registered"; exit 1; }

wrong=0
# offered EXPECTED WORD...: what is offered for the last word, sorted, with | between
offered() {
    local expected=$1 got
    shift
    COMP_WORDS=(holdable "$@")
    COMP_CWORD=$#
    COMPREPLY=()
    _holdable
    got=$(printf '%s\n' "${COMPREPLY[@]}" | LC_ALL=C sort | paste -sd '|')
    if [ "$got" != "$expected" ]; then
        echo "holdable $*: offered \"$got\", expected \"$expected\""
        wrong=1
    fi
}
offered 'machine' m
offered 'improve' im
offered '--completion|--help|--man|--most-bytes|--version' --
offered 'bash' --completion ''
offered 'budget|gauging|job|machine' new ''
offered 'job' new j
offered 'jobs|machine.json|my job.json' new machine ''
offered '--ask-me|--help|--inch|--metric|--on' new machine --
offered 'jobs|machine.json|my job.json' answer ''
offered 'machine.json' answer ma
offered 'my job.json' answer machine.json my
offered 'jobs/one.json' answer machine.json jobs/
offered '' answer machine.json job.json ''
offered '' answer machine.json --ask ''
offered '--parts' answer machine.json --pa
offered 'my job.json' answer --parts 0.99 machine.json my
offered '--item' where machine.json job.json --it
offered 'machine.json' proofread a.json b.json ma
offered '--digits' budget --di
offered '' units ''
offered '' nonsense ''
exit $wrong
