#!/bin/sh
# First program of the virtual machine: plugs a joystick into the machine's own
# USB host, lets the program under test read it, and tells what came of it over
# the serial line. The kernel's command line says which joystick.
export PATH=/bin:/sbin:/usr/bin:/usr/sbin
/bin/busybox --install -s /bin
mount -t proc proc /proc
mount -t sysfs sysfs /sys
mount -t devtmpfs devtmpfs /dev
exec </dev/null >/dev/ttyS0 2>&1
mkdir -p /dev/input /run/udev /tmp
# A write to the joystick waits for ever when nobody reads it.
(sleep "$LIMIT_S"; echo "== OUT OF TIME"; poweroff -f) &
for module in $(cat /modules/order); do
    insmod "/modules/$module" || echo "== MODULE $module MISSING"
done
mount -t configfs configfs /sys/kernel/config
/lib/systemd/systemd-udevd --daemon
udevadm trigger --action=add --subsystem-match=input
udevadm settle

# Tells a file over the serial line.
tell() {
    echo "== FILE $1"
    cat "$2"
    echo
    echo "== END"
}

. "/$DEVICE.sh"
. /gadget.sh
. /person.sh
echo "== DONE"
poweroff -f
