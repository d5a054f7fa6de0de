#!/bin/sh
# One line of the manual, run as a shell would run it: nothing of the caller's environment reaches the
# program, and `> FILE` at the end of the line is where its answer goes.
set -eu

arrow=
for word do
    shift
    if [ "$arrow" ]; then
        exec >"$word"
        arrow=
    elif [ "$word" = '>' ]; then
        arrow=yes
    else
        set -- "$@" "$word"
    fi
done
exec env -i COLUMNS=100 TZ=UTC "$COMBWRIGHT" "$@"
