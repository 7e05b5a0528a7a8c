# SPDX-License-Identifier: MIT
# Sourced by the benchmarks of this folder: the program, a folder that goes at the end, large registries, and times.
here=$(cd "$(dirname "$0")" && pwd)
coretally=$(realpath "${CORETALLY:-$here/../../build-test/bin/coretally}")
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$work"
export GIT_AUTHOR_NAME=Bench GIT_AUTHOR_EMAIL=bench@example.invalid GIT_COMMITTER_NAME=Bench CORETALLY_STATION=bench
export GIT_COMMITTER_EMAIL=bench@example.invalid HOME="$work"

# rows_of FIRST HOLES CORES SAMPLES [TOP]: rows for cores.csv, sections.csv and samples.csv of this folder: holes from
# U<FIRST>A on, of so many cores of 9.5 m with so many samples each; tops from TOP below rig floor on, or from the seafloor.
rows_of() {
    [ -e cores.csv ] || {
        echo "site,hole,core,type,top_m,bottom_m,datum,recovered_m" >cores.csv
        echo "site,hole,core,type,section,curated_m" >sections.csv
        echo "site,hole,core,type,section,half,top_cm,bottom_cm,volume_cm3,purpose" >samples.csv
    }
    awk -v first="$1" -v holes="$2" -v cores="$3" -v samples="$4" -v top="${5:-seafloor}" 'BEGIN {
        datum = top == "seafloor" ? top : "rig-floor"
        step = 800 / samples; wide = step < 3.2 ? step * 5 / 8 : 2 # cm; a section of 1.5 m holds a sixth of them
        for (hole = first; hole < first + holes; hole++)
            for (core = 1; core <= cores; core++) {
                id = "U" hole ",A," core ",H"
                print id "," top + (core - 1) * 9.5 "," top + core * 9.5 "," datum ",9" >>"cores.csv"
                for (section = 1; section <= 6; section++) print id "," section ",1.5" >>"sections.csv"
                for (at = 0; at < samples; at++)
                    print id "," at % 6 + 1 ",W," int(at / 6) * step "," int(at / 6) * step + wide ",10,isotopes" >>"samples.csv"
            }
    }'
}

# record_rows [OPTION...]: a registry in this folder, its holes added with these options, the three tables imported.
record_rows() {
    local hole table
    "$coretally" start 901 >/dev/null 2>&1
    for hole in $(awk -F, 'NR > 1 { print $1 $2 }' cores.csv | uniq); do
        "$coretally" hole add "$hole" --returns seafloor "$@" >/dev/null
    done
    for table in cores sections samples; do "$coretally" import $table $table.csv >/dev/null 2>&1; done
}

time_of() { # nanoseconds of a command
    local begin
    begin=$(date +%s%N)
    "$@" >/dev/null 2>&1
    echo $(($(date +%s%N) - begin))
}
median() { sort -n | awk '{ all[NR] = $1 } END { print all[int((NR + 1) / 2)] }'; }
# Of the file times, a row a round: the median of a column in ms, and of the ratio of two.
column() { awk -v at="$1" '{ print $at / 1e6 }' times | median; }
ratio() { awk -v a="$1" -v b="$2" '{ print $a / $b }' times | median; }
