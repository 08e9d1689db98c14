#!/bin/sh
# Names of files with blanks, quotes, commands, line feeds and more are names and nothing else, with the real
# program: read, written, and given on to the program that prints a PDF, which gets no name of the user's and no
# shell. $1 the program, $2 a machine file, $3 a job file.
. "$(dirname "$0")/lib.sh"
mkdir in-here
cd in-here || exit 1
each() {
    name=$1
    status 0 "$program" plot "$machine" --picture table --on 2025-04-07 "--svg=$name"
    [ -f "./$name" ] || fail "$name was not written"
    tail -n 1 "./$name" | grep -q '</svg>' || fail "$name is not whole"
    rm -- "$name"
    status 0 "$program" new machine --inch --on 2025-04-07 -- "$name"
    [ -f "./$name" ] || fail "$name was not written by new"
    # what it says to type next works as it stands
    case $name in
    *[![:print:]]* | *'
'*) ;;
    *)
        command=$(sed -n 's/^  holdable \(proofread .*\)/\1/p' said)
        eval "set -- $command"
        "$program" "$@" > ../typed 2>&1 || fail "$command is not what to type: $(cat ../typed)"
        ;;
    esac
    status 0 "$program" proofread -- "$name"
    grep -q "nothing wrong" out || fail "$name was not read"
    [ "$(grep -vc '^    ' out)" -eq 1 ] || fail "$name forges a line" # notes stand further in
    rm -- "$name" out said
    [ -z "$(ls -A)" ] || fail "$name left something: $(ls -A)"
}
each 'a b.json'
each "it's.json"
each 'so "quoted".json'
each '-x.json'
each '--help'
each '$(touch evil).json'
each '`touch evil`.json'
each 'a;touch evil;.json'
each '*'
each '~'
each '%41.json'
each 'back\slash.json'
each '[a,b]'
each '{}'
each '@file'
each '#1'
each 'Ø 8 mm.json'
each 'two
lines.json'
each "$(printf 'escape\033[31m.json')"
each "$(printf 'no utf-8 \377.json')"
cd ..

# A file that is not there is named on one line, whatever its name.
status 3 "$program" machine "$(printf 'a\nerror: b\033[2J\302\233')"
[ "$(wc -l < said)" -eq 1 ] || fail "a name forges a line"
LC_ALL=C grep -q "$(printf '[\033\233]')" said && fail "a name reaches the terminal"

# ---- the program that prints: it stands first on the PATH and writes down what it gets.
mkdir programs 'odd %41#?& name'
cat > programs/chromium <<'END'
#!/bin/sh
printf '%s\n' "$@" > "$RECORD"
cat "/proc/$PPID/comm" > "$RECORD.parent"
for word in "$@"; do
    case "$word" in
    --print-to-pdf=*) to=${word#--print-to-pdf=} ;;
    esac
done
printf '%%PDF-stand-in' > "$to"
END
chmod 755 programs/chromium
print() { # FILE
    env PATH="$folder/programs:$PATH" RECORD="$folder/record" TMPDIR="$folder/odd %41#?& name" \
        "$program" statement "$machine" "$job" --on 2025-04-07 --trials 500 "--pdf=$1"
}
for name in 'page.pdf' '$(touch evil) `touch evil`; touch evil "page'"'"'.pdf' '-x.pdf'; do
    status 0 print "$name"
    [ "$(cat "./$name")" = '%PDF-stand-in' ] || fail "$name was not written"
    grep -q 'evil\|x\.pdf' record && fail "a name of the user's reached the program"
    [ "$(head -n 1 record)" = --headless ] || fail "the arguments are not as given: $(cat record)"
    grep -q -- '--proxy-server=127.0.0.1:9' record || fail "it was not told to use no network"
    grep -qF "file://$folder/odd%20%2541%23%3F%26%20name/holdable-" record || fail "the address: $(cat record)"
    case $(cat record.parent) in
    holdable*) ;;
    *) fail "it was started by $(cat record.parent)" ;;
    esac
done
[ -z "$(ls -A 'odd %41#?& name')" ] || fail "something is left in the folder for temporary files"
[ ! -e evil ] || fail "a name was run"
# No space for it, or no folder: said, and the old file stays.
echo old > old.pdf
status 70 env TMPDIR=/no/such/folder PATH="$folder/programs:$PATH" \
    "$program" statement "$machine" "$job" --on 2025-04-07 --trials 500 --pdf old.pdf
[ "$(cat old.pdf)" = old ] || fail "the old file is not as it was"
exit 0
