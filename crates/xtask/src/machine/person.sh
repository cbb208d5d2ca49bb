# Somebody who reads what the program asks and moves the sticks.
cd /larkfield || exit
a0=$MIDDLE a1=$MIDDLE a2=$MIDDLE a3=$MIDDLE
eval "$LEFT_ALONG=$THROTTLE_REST"
buttons=0
plug

# Takes an axis to a value on a straight line.
move() {
    eval "start=\$$1"
    for part in 1 2 3 4 5 6; do
        eval "$1=$((start + ($2 - start) * part / 6))"
        report
    done
}

press() {
    buttons=$1
    report
    sleep "$2"
    buttons=0
    report
}

# Both sticks to all their corners, then left alone.
stir() {
    for _ in 1 2; do
        move "$LEFT_ACROSS" "$LOW"
        move "$RIGHT_ACROSS" "$LOW"
        move "$LEFT_ALONG" "$HIGH"
        move "$RIGHT_ALONG" "$HIGH"
        move "$LEFT_ACROSS" "$HIGH"
        move "$RIGHT_ACROSS" "$HIGH"
        move "$LEFT_ALONG" "$LOW"
        move "$RIGHT_ALONG" "$LOW"
    done
    move "$LEFT_ACROSS" "$MIDDLE"
    move "$RIGHT_ACROSS" "$MIDDLE"
    move "$RIGHT_ALONG" "$MIDDLE"
    move "$LEFT_ALONG" "$THROTTLE_REST"
}

# A stick to its end; remembers which.
hold() {
    stick=$1
    end=$2
    move "$stick" "$end"
}

answer() {
    case "$1" in
        *"Move both sticks round all their corners"*"at its end."*) stir ;;
        *"Left stick: all the way to the right, and"*) hold "$LEFT_ACROSS" "$LEFT_ACROSS_TO" ;;
        *"Left stick: all the way to the left, and"*) hold "$LEFT_ACROSS" "$LEFT_ACROSS_FROM" ;;
        *"Left stick: all the way away from you, and"*) hold "$LEFT_ALONG" "$LEFT_ALONG_TO" ;;
        *"Left stick: all the way toward you, and"*) hold "$LEFT_ALONG" "$LEFT_ALONG_FROM" ;;
        *"Right stick: all the way to the right, and"*) hold "$RIGHT_ACROSS" "$RIGHT_ACROSS_TO" ;;
        *"Right stick: all the way to the left, and"*) hold "$RIGHT_ACROSS" "$RIGHT_ACROSS_FROM" ;;
        *"Right stick: all the way away from you, and"*) hold "$RIGHT_ALONG" "$RIGHT_ALONG_TO" ;;
        *"Right stick: all the way toward you, and"*) hold "$RIGHT_ALONG" "$RIGHT_ALONG_FROM" ;;
        *"back to half-way"*"hold it there."*) move "$stick" $(((end + MIDDLE) / 2)) ;;
        *"let go of it."*)
            if [ "$stick" = "$LEFT_ALONG" ]; then
                move "$stick" "$THROTTLE_REST"
            else
                move "$stick" "$MIDDLE"
            fi
            ;;
        *"before a throw, and put it back."*) press 1 0.2 ;;
        *"throttle cut, and put it back."*) press 2 0.2 ;;
        *"second rates, and put it back."*) press 4 0.2 ;;
        *"flying again, and put it back."*) press 8 0.2 ;;
    esac
}

remark() {
    read -r uptime _ </proc/uptime
    echo "== AT $uptime s: $1"
}

# Nobody answers that battery and propeller are off: nothing is read.
larkfield radio list --seconds 1 >/tmp/silent 2>&1
echo "== SILENT LIST ENDED $?"
tell silent /tmp/silent

# The radio file of another device; once is enough, for it takes its time.
if [ "$DEVICE" = pad ]; then
    sed 's/"ABS_X"/"ABS_WHEEL"/' assets/radios/pad_mode_2.ron >/tmp/other.ron
    larkfield rehearse --ready --pilot device --radio /tmp/other.ron --out /tmp/none \
        >/tmp/other 2>&1
    echo "== OTHER RADIO ENDED $?"
    tell other /tmp/other
fi

# What is plugged in and what it sends.
larkfield radio list --ready --seconds 6 >/tmp/list 2>/tmp/list.err &
program=$!
sleep 1
stir
press 1 0.2
wait $program
remark "listed"
tell list /tmp/list

# Which stick is which.
larkfield radio learn --ready --mode 2 --shaped no --name Learned --out /tmp/radio.ron \
    >/tmp/learn 2>/tmp/asked &
program=$!
answered=""
while kill -0 $program 2>/dev/null; do
    asked=$(tail -n 1 /tmp/asked)
    if [ "$asked" != "$answered" ]; then
        answered=$asked
        answer "$asked"
    fi
    sleep 0.05
done
wait $program
echo "== LEARN ENDED $?"
tell learn /tmp/learn
tell asked /tmp/asked
tell radio.ron /tmp/radio.ron

remark "learned"

# A flight, with the plug pulled in the air.
said() {
    grep -q "$1" /tmp/flight
}
# Causes are looked for where the flight is flown again outside, which is much
# faster than in emulation.
larkfield rehearse --ready --pilot device --radio /tmp/radio.ron --seed 1 --score-only --out /tmp/run \
    --name Newcomer --logbook /tmp/logbook.db \
    >/tmp/score 2>/tmp/flight &
program=$!
until_true said "Before the sticks count"
remark "asked for the sticks"
stir
until_true said "The sticks count"
buttons=1
report
sleep 0.3
move "$LEFT_ALONG" "$LEFT_ALONG_TO"
sleep 0.5
buttons=0
report
until_true said "m up"
remark "in the air"
# Long enough that a slow machine's next tick sees it.
move "$RIGHT_ACROSS" $(((MIDDLE + RIGHT_ACROSS_TO) / 2))
sleep 0.7
move "$RIGHT_ACROSS" "$MIDDLE"
unplug
until_true said "Unplugged: motor off"
sleep 0.5
plug
# What is sent before the program listens again is lost to it, so every stick is
# moved a little; the throttle so little that it counts as where it was.
sleep 0.5
move "$LEFT_ALONG" $((LEFT_ALONG_TO + (MIDDLE - LEFT_ALONG_TO) / 32))
move "$LEFT_ALONG" "$LEFT_ALONG_TO"
for axis in "$LEFT_ACROSS" "$RIGHT_ALONG" "$RIGHT_ACROSS"; do
    move "$axis" $((MIDDLE - MIDDLE / 4))
    move "$axis" "$MIDDLE"
done
until_true said "Plugged in again"
remark "plugged in again"
move "$RIGHT_ACROSS" $(((MIDDLE + RIGHT_ACROSS_FROM) / 2))
sleep 0.7
move "$RIGHT_ACROSS" "$MIDDLE"
move "$LEFT_ALONG" "$THROTTLE_REST"
wait $program
echo "== FLIGHT ENDED $?"
remark "down"
tell flight /tmp/flight
tell score /tmp/score
larkfield logbook --logbook /tmp/logbook.db --export /tmp/logbook.csv >/tmp/exported 2>&1
tell logbook.csv /tmp/logbook.csv
tell controls.csv /tmp/run/controls.csv
tell sums "$(cd /tmp/run && sha256sum recording.csv events.csv controls.csv >/tmp/sums && echo /tmp/sums)"
unplug
