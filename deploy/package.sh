#!/bin/sh
# Makes the Debian package from the native program: deploy/package.sh [amd64|arm64], amd64 if not said. Needs dpkg-deb.
# It lies in artifacts/packages then; a program that is not made yet is made first, by publish.sh.
set -eu
cd "$(dirname "$0")/.."
arch=${1:-amd64}
case $arch in
  amd64) rid=x64 ;;
  arm64) rid=arm64 ;;
  *) echo "package.sh: '$arch' is not an architecture that this makes: amd64 or arm64." >&2; exit 2 ;;
esac
program=artifacts/native/linux-$rid
[ -x "$program/backyard-sentinel" ] || sh deploy/publish.sh $rid
version=$(sed -n 's|.*<Version>\(.*\)</Version>.*|\1|p' Directory.Build.props)
out=artifacts/packages
root=$(mktemp -d)
trap 'rm -rf "$root"' EXIT
umask 022
doc=$root/usr/share/doc/backyard-sentinel

put() { install -D -m "$1" "$2" "$root$3"; } # mode, from, to
put 755 "$program/backyard-sentinel" /usr/lib/backyard-sentinel/backyard-sentinel
put 644 "$program/libe_sqlite3.so" /usr/lib/backyard-sentinel/libe_sqlite3.so
mkdir -p "$root/usr/bin" "$root/etc/backyard-sentinel" "$root/var/lib/backyard-sentinel"
ln -s ../lib/backyard-sentinel/backyard-sentinel "$root/usr/bin/backyard-sentinel"
put 644 deploy/backyard-sentinel.service /lib/systemd/system/backyard-sentinel.service
put 644 deploy/backyard-sentinel@.service /lib/systemd/system/backyard-sentinel@.service
put 644 config/garden.yaml /usr/share/doc/backyard-sentinel/examples/garden.yaml
put 644 config/garden.schema.json /usr/share/backyard-sentinel/garden.schema.json
put 644 deploy/completions/backyard-sentinel.bash /usr/share/bash-completion/completions/backyard-sentinel
put 644 deploy/completions/backyard-sentinel.zsh /usr/share/zsh/vendor-completions/_backyard-sentinel
put 644 deploy/completions/backyard-sentinel.fish /usr/share/fish/vendor_completions.d/backyard-sentinel.fish
put 644 deploy/backyard-sentinel.1 /usr/share/man/man1/backyard-sentinel.1
put 644 deploy/debian/lintian-overrides /usr/share/lintian/overrides/backyard-sentinel
gzip -9n "$root/usr/share/man/man1/backyard-sentinel.1"

# Its own licence, and those of what is built into it.
{
  sed -e "s|@COPYRIGHT@|$(sed -n 's/^Copyright (c) //p' LICENSE)|" -e '/@LICENSE@/d' deploy/debian/copyright
  sed -e '1,4d' -e 's/^$/./' -e 's/^/ /' LICENSE
} > "$doc/copyright"
put 644 docs/third-party.md /usr/share/doc/backyard-sentinel/third-party.md
put 644 deploy/sbom.cdx.json /usr/share/doc/backyard-sentinel/sbom.cdx.json
{
  echo "backyard-sentinel ($version) stable; urgency=medium"
  echo
  echo "  * docs/changelog.md of the sources tells what is new."
  echo
  echo " -- Backyard Sentinel <sentinel@localhost>  $(LC_ALL=C date -R -u -d "@${SOURCE_DATE_EPOCH:-$(git log -1 --format=%ct)}")"
} | gzip -9n > "$doc/changelog.gz"

mkdir "$root/DEBIAN"
size=$(du -k -s "$root" | cut -f1)
sed -e "s|@VERSION@|$version|" -e "s|@ARCH@|$arch|" -e "s|@SIZE@|$size|" deploy/debian/control > "$root/DEBIAN/control"
for script in postinst prerm postrm; do put 755 "deploy/debian/$script" "/DEBIAN/$script"; done
(cd "$root" && find usr lib -type f -exec md5sum {} +) > "$root/DEBIAN/md5sums"
mkdir -p $out
dpkg-deb --root-owner-group -Zxz --build "$root" "$out/backyard-sentinel_${version}_$arch.deb"
