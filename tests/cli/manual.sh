#!/bin/sh
# The manual page by groff, with all its warnings on: it must have none, and show every verb. Where there
# is no groff it is skipped: exit status 77. $1 is the program.
command -v groff >/dev/null 2>&1 || { echo "skipped: no groff"; exit 77; }
page=$(mktemp) || exit 1
trap 'rm -f "$page"' EXIT
"$1" --man > "$page" || exit 1
warnings=$(groff -man -Tutf8 -Kutf8 -ww -z "$page" 2>&1)
if [ -n "$warnings" ]; then
    echo "groff warns: $warnings"
    exit 1
fi
shown=$(groff -man -Tutf8 -Kutf8 -P-c -P-b -P-u "$page" | tr -s ' \n' '  ')
for verb in new proofread machine answer where improve gauging budget units; do
    case $shown in
    *" holdable $verb "*) ;;
    *) echo "the page does not show $verb"; exit 1 ;;
    esac
done
case $shown in
*'--ask "perp Ø.001 over 3.00 at 8,6"'*"EXIT STATUS"*"NO_COLOR"*) ;;
*) echo "the page lacks something: $shown"; exit 1 ;;
esac
