# SPDX-License-Identifier: MIT
# The pump log of Hole U0013A, 9 and 10 March, as the rig's system would have written it: a row every ten seconds.
# Two pumps and the booster; stands of 28 m with connections; a stop of two hours; casing set on the 10th.
#   awk -v day=9 -f pump_log.awk     CSV, metres          awk -v day=10 -f pump_log.awk     LAS 2.0, feet, new counters
function stands(second) { # seconds of the two days in which the pumps stand
    return (second >= 36000 && second < 43200) ||                    # 9 March 10:00, pump repair
           (second >= 100800 && second < 122400) ||                  # 10 March 04:00, trip, casing, cement
           (second % 8700 >= 8400)                                   # connections
}
function off_bottom(second) { return second >= 100800 && second < 126000 }
BEGIN {
    first = day == 9 ? 0 : 86400
    if (day == 9)
        print "Time,Bit depth,Hole depth,Strokes 1,Strokes 2,Booster strokes"
    else {
        print "~VERSION INFORMATION"
        print " VERS.   2.0 : CWLS log ASCII standard"
        print " WRAP.   NO  : one line a step"
        print "~WELL INFORMATION"
        print " STRT.S  0 : first"
        print " STOP.S  86400 : last"
        print " STEP.S  10 : step"
        print " NULL.   -999.25 : no reading"
        print "~CURVE INFORMATION"
        print " TIME.S  : seconds since 2026-03-10T00:00:00Z"
        print " BIT.FT : bit below rig floor"
        print " HOLE.FT : bottom of the hole below rig floor"
        print " STROKES_1. : strokes of pump 1"
        print " STROKES_2. : strokes of pump 2"
        print " STROKES_B. : strokes of the booster"
        print "~A"
    }
    hole = 3000
    one = 4200; two = 51800; three = 900 # what the counters showed at midnight
    for (second = 0; second <= 172800; second += 10) {
        if (second == 86400) one = two = three = 0 # the counters are set to 0 at the end of the day
        if (second > 0 && !stands(second)) {
            one += 10
            if (second % 60 < 50 || second > 60000) two += 10
            if (!off_bottom(second)) hole += second < 86400 ? 1 / 30 : 1 / 45
        }
        if (second > 0 && second % 10 == 0 && !(second >= 100800 && second < 122400)) three += 7
        bit = hole
        if (second >= 102600 && second < 124200) bit = 2500 # out to the shoe and beyond, and back
        if (second < first || (day == 9 && second >= 86400)) continue
        if (day == 9)
            printf "2026-03-09T%02d:%02d:%02dZ,%.2f,%.2f,%d,%d,%d\n", second / 3600, second / 60 % 60, second % 60, bit, hole, one, two, three
        else
            printf "%d %.1f %.1f %d %d %d\n", second - first, bit / 0.3048, hole / 0.3048, one, two, three
    }
}
