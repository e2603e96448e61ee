#!/bin/bash
# Tries a package on a whole Debian 12 of its own, in an emulated machine: systemd, a broker, reloads, a hang, a power cut, the purge.
# What inside.sh saw there is told line by line.
#   sudo tests/machine/try.sh artifacts/packages/backyard-sentinel_0.1.0_amd64.deb
#   sudo tests/machine/try.sh artifacts/packages/backyard-sentinel_0.1.0_arm64.deb    # a Raspberry Pi 3 with its card
# Needs debootstrap, e2fsprogs, qemu-system-x86 or qemu-system-arm (for arm64 qemu-user-static and binfmt-support, too), and 3 GB in
# /var/tmp. Debian is fetched once, some minutes; the trial itself takes some more, for arm64 a quarter of an hour.
set -eu
package=$(realpath "$1")
arch=${package##*_} arch=${arch%.deb}
here=$(dirname "$(realpath "$0")")
work=/var/tmp/sentinel-machine-$arch
root=$work/root
case $arch in
  # The oldest processors that the program runs on.
  amd64) kernel=linux-image-cloud-amd64 machine="qemu-system-x86_64 -cpu Nehalem -smp 2" disk=if=virtio console="root=/dev/vda console=ttyS0" ;;
  arm64) kernel=linux-image-arm64 machine="qemu-system-aarch64 -M raspi3b" disk=if=sd console="root=/dev/mmcblk0 rootwait console=ttyS1" ;;
  *) echo "try.sh: '$1' is not a package of amd64 or arm64." >&2; exit 2 ;;
esac

if [ ! -e $root/ready ]; then
  rm -rf $root
  mkdir -p $work
  debootstrap --arch="$arch" --variant=minbase --include=systemd,systemd-sysv,dbus,udev,$kernel,mosquitto,mosquitto-clients,\
sudo,curl,procps,adduser,tzdata,ca-certificates,iproute2,libssl3 bookworm $root http://deb.debian.org/debian > $work/debootstrap.log
  touch $root/ready
fi
mkdir -p $root/trial
cp "$package" $root/trial/package.deb
cp "$here/inside.sh" "$here/answers" $root/trial/
echo https://phone.example/secret > $root/trial/secret
chmod 600 $root/trial/secret
rm -f $root/trial/phase
echo garden > $root/etc/hostname
echo 127.0.0.1 localhost garden > $root/etc/hosts
cp "$here/trial.service" $root/etc/systemd/system/
ln -sf ../trial.service $root/etc/systemd/system/multi-user.target.wants/trial.service
rm -f $work/disk
truncate -s 4G $work/disk
mkfs.ext4 -q -d $root $work/disk

serial="-serial file:$work/serial"
if [ "$arch" = arm64 ]; then
  machine="$machine -dtb $(echo $root/usr/lib/linux-image-*/broadcom/bcm2837-rpi-3-b.dtb)"
  serial="-serial null $serial" # The board's first port is taken by its radio.
fi

start() {
  : > $work/serial
  # shellcheck disable=SC2086
  $machine -accel tcg,thread=multi -m 1024 -nographic -no-reboot -monitor none $serial \
    -kernel $root/vmlinuz -initrd $root/initrd.img -append "$console rw quiet" \
    -drive file=$work/disk,format=raw,$disk > $work/qemu.log 2>&1 &
  running=$!
}

told() { grep -aoE '(seen|NOT SEEN|info): .*' $work/serial | tr -d '\r'; }

start
until grep -aq ^POWER $work/serial || ! kill -0 $running 2>/dev/null; do sleep 1; done
kill -KILL $running # No warning, as when the power goes.
told | tee $work/told
start
wait $running || true
told | tee -a $work/told
if grep -q '^NOT SEEN' $work/told || ! grep -q 'purging leaves nothing' $work/told; then
  echo "Not all was seen; $work/serial has what the machine said." >&2
  exit 1
fi
echo "All was seen."
