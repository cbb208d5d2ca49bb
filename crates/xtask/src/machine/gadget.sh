# A HID joystick as a USB gadget, looped to this machine's own host.
# $DESCRIPTOR, $LENGTH and $PRODUCT come from the joystick's file.
G=/sys/kernel/config/usb_gadget/stick
mkdir -p $G/strings/0x409 $G/configs/c.1/strings/0x409 $G/functions/hid.usb0
echo 0x1209 >$G/idVendor
echo 0x0001 >$G/idProduct
echo "$PRODUCT" >$G/strings/0x409/product
echo "$LENGTH" >$G/functions/hid.usb0/report_length
printf "$DESCRIPTOR" >$G/functions/hid.usb0/report_desc
ln -s $G/functions/hid.usb0 $G/configs/c.1/

# Until a command succeeds, at most some five minutes: a machine in software is
# slow, and slower on a busy system.
until_true() {
    for _ in $(seq 2400); do
        "$@" && return 0
        sleep 0.1
    done
    echo "== NEVER: $*"
    return 1
}

listed() {
    grep -q "$PRODUCT" /proc/bus/input/devices && [ -c /dev/hidg0 ]
}

plug() {
    echo dummy_udc.0 >$G/UDC
    until_true listed
    udevadm settle
    # Somebody always reads it: a report waits for ever when nobody does.
    event=$(grep -A 4 "$PRODUCT" /proc/bus/input/devices | grep -o "event[0-9]*" | head -n 1)
    cat "/dev/input/$event" >/dev/null 2>&1 &
}

unplug() {
    echo >$G/UDC
}

# One byte more of the report.
byte() {
    S="$S\\$(($1 >> 6))$((($1 >> 3) & 7))$(($1 & 7))"
}
