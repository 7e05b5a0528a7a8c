#!/usr/bin/env bash
# The published tables, whole, from a data folder (iodp-355-hole/, odp-1264/): imports them with the real binary and
# prints matched / total for each set; fails on any miss.
# tests/published/excerpt holds a few rows of both in the same layout, for the ordinary test run.
#   tests/published.sh DIR        CORETALLY names the binary (default: build-test/bin/coretally)
#
# odp-1264: ODP Leg 208 Site 1264, Zachos, Kroon, Blum et al. 2004, Proc. ODP, Init. Repts. 208,
#   doi:10.2973/odp.proc.ir.208.2004.
# iodp-355-hole: IODP Expedition 355 Site U1456, Pandey, Clift, Kulhanek and the Expedition 355 Scientists 2016,
#   Proc. IODP 355, doi:10.14379/iodp.proc.355.2016.
set -eu
data=$(cd "${1:?usage: tests/published.sh DIR}" && pwd)
here=$(cd "$(dirname "$0")" && pwd)
coretally=$(realpath "${CORETALLY:-$here/../build-test/bin/coretally}")
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$work"
export GIT_AUTHOR_NAME="Published Check" GIT_AUTHOR_EMAIL=check@example.invalid CORETALLY_STATION=check HOME="$work"
missed=0

# How many rows a table of the data folder has.
rows() {
    awk 'END { print NR - 1 }' "$data/$1"
}

# "compared NAME: M of N equal ..." of an import's output, as one line of the summary.
report() {
    local label=$1 wanted=$2 file=$3 column=$4
    local line matched total
    line=$(grep "^compared $column:" "$file" || true)
    matched=$(sed -n 's/^compared [^:]*: \([0-9]*\) of \([0-9]*\) equal.*/\1/p' <<<"$line")
    total=$(sed -n 's/^compared [^:]*: \([0-9]*\) of \([0-9]*\) equal.*/\2/p' <<<"$line")
    echo "$label: ${matched:-0} / ${total:-0}"
    if [ "${matched:-0}" != "$wanted" ] || [ "${total:-0}" != "$wanted" ]; then
        echo "  expected $wanted of $wanted" >&2
        cat "$file" >&2
        missed=1
    fi
}

mkdir odp && cd odp
"$coretally" start 208 >/dev/null 2>&1
for hole in A B C; do "$coretally" hole add 1264$hole --returns seafloor >/dev/null; done
"$coretally" import cores "$data/odp-1264/cores.csv" --map "$here/published/odp-1264-cores.map" >cores.out 2>cores.err
report "odp-1264 recoveries" "$(rows odp-1264/cores.csv)" cores.out recovery_pct
"$coretally" import sections "$data/odp-1264/sections.csv" --map "$here/published/odp-1264-sections.map" >sections.out 2>sections.err
report "odp-1264 section tops" "$(rows odp-1264/sections.csv)" sections.out top_mbsf
"$coretally" import samples "$data/odp-1264/samples.csv" --map "$here/published/odp-1264-samples.map" >samples.out 2>samples.err
report "odp-1264 sample depths" "$(rows odp-1264/samples.csv)" samples.out top_mbsf
state=$(git --git-dir registry.git rev-parse main)
"$coretally" import samples "$data/odp-1264/samples.csv" --map "$here/published/odp-1264-samples.map" >again.out 2>again.err
if [ "$state" != "$(git --git-dir registry.git rev-parse main)" ] || ! grep -q "nothing changed" again.out; then
    echo "a second import of the samples changed the registry" >&2
    missed=1
fi
# The published composite offset of each core entered as a correction; then mcd is compared sample by sample.
awk -F, -v OFS=, 'NR == 1 { print "hole,core,offset_m,method"; next } { print $2 $3, $4, $9, "tied" }' \
    "$data/odp-1264/cores.csv" >offsets.csv
"$coretally" correction add 1264A composite offsets.csv --reason "composite offsets of the Initial Reports" >composite.out 2>composite.err
"$coretally" import samples "$data/odp-1264/samples.csv" --map "$here/published/odp-1264-composite.map" >mcd.out 2>mcd.err
report "odp-1264 composite depths (mcd)" "$(rows odp-1264/samples.csv)" mcd.out top_mcd
git --git-dir registry.git fsck --strict --no-dangling
git clone -q registry.git files
/usr/bin/python3 "$here/schema/check_schemas.py" --schemas "$here/../schemas" files/holes || missed=1
cd ..

# The measured points of Hole U1456A are printed with section and offset, the section lengths are not: a section ends where the
# next one's printed CSF-A zero is (of the two cores without measured points: that of their samples), and the last one takes
# what is left of the core's curated length. CSF-B depends on the curated length of the core table alone.
mkdir iodp && cd iodp
"$coretally" start 355 >/dev/null 2>&1
"$coretally" hole add U1456A --returns seafloor >/dev/null
"$coretally" import cores "$data/iodp-355-hole/cores.csv" --map "$here/published/iodp-355-cores.map" >cores.out 2>cores.err
awk -F, -v OFS=, '
    FNR == 1 { file++; next }
    file == 1 { curated[$4] = $10; top[$4] = $11; next }
    { key = $4 SUBSEP $6 }
    file == 2 { measured[$4] = 1; zero = $9 - $8 / 100 }
    file == 3 { zero = $10 - $8 / 100 }
    !(key in start) && (file == 2 || !($4 in measured)) { start[key] = zero; order[++count] = key }
    END {
        print "expedition,site,hole,core,type,section,curated_m"
        for (at = 1; at <= count; at++) {
            split(order[at], part, SUBSEP); split(at < count ? order[at + 1] : "", next_part, SUBSEP)
            end = next_part[1] == part[1] ? start[order[at + 1]] : top[part[1]] + curated[part[1]]
            printf "355,U1456,A,%s,H,%s,%.6f\n", part[1], part[2], end - start[order[at]]
        }
    }' "$data/iodp-355-hole/cores.csv" "$data/iodp-355-hole/measurements.csv" "$data/iodp-355-hole/samples.csv" >sections.csv
"$coretally" import sections sections.csv >sections.out 2>sections.err
"$coretally" import samples "$data/iodp-355-hole/measurements.csv" --map "$here/published/iodp-355-points.map" >points.out 2>points.err
report "iodp-355-hole CSF-A points" "$(rows iodp-355-hole/measurements.csv)" points.out csf_a_m
far=$(sed -n 's/^compared csf_b_m: .*largest difference \([0-9.]*\) m.*/\1/p' points.out)
within=$(awk -v far="${far:-0}" 'BEGIN { print far <= 0.001 ? "yes" : "no" }')
total=$(sed -n 's/^compared csf_b_m: [0-9]* of \([0-9]*\) equal.*/\1/p' points.out)
echo "iodp-355-hole CSF-B points within 1 mm: $([ $within = yes ] && echo "$total" || echo "?") / ${total:-0} ($(grep '^compared csf_b_m' points.out))"
[ "$within" = yes ] && [ "$total" = "$(rows iodp-355-hole/measurements.csv)" ] || missed=1
# Composite offsets of cores 1H to 8H as the volume gives them; depths of the samples within 1 mm, for the offsets are
# rounded to it.
cat >offsets.csv <<'END'
core,offset_m,method
1H,0,assumed
2H,1.518,tied
3H,1.946,tied
4H,2.964,tied
5H,3.999,tied
6H,4.178,tied
7H,5.051,tied
8H,5.061,tied
END
"$coretally" correction add U1456A composite offsets.csv --reason "composite offsets of Proc. IODP 355" >composite.out 2>composite.err
"$coretally" import samples "$data/iodp-355-hole/samples.csv" --map "$here/published/iodp-355-samples.map" >ccsf.out 2>ccsf.err
for column in ccsf_top_m ccsf_bottom_m; do
    wanted=$(rows iodp-355-hole/samples.csv)
    total=$(sed -n "s/^compared $column: [0-9]* of \([0-9]*\) equal.*/\1/p" ccsf.out)
    far=$(sed -n "s/^compared $column: .*largest difference \([0-9.]*\) m.*/\1/p" ccsf.out)
    within=$(awk -v far="${far:-0}" 'BEGIN { print far <= 0.001 ? "yes" : "no" }')
    echo "iodp-355-hole $column within 1 mm: $([ "$within" = yes ] && echo "$total" || echo "?") / ${total:-0}"
    [ "$within" = yes ] && [ "$total" = "$wanted" ] || { cat ccsf.out ccsf.err >&2; missed=1; }
done
exit $missed
