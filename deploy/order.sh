#!/bin/sh
# Writes deploy/order.txt anew, by which publish.sh lays the methods that a running service calls side by side. It runs the x64 program
# that publish.sh made, as an invented garden, as one with a store, again on that store and with the example garden file, and notes
# which methods were called. A list that is old costs some memory and nothing else; arm64 goes by the same one. Needs gcc, nm and curl.
# Publish again afterwards.
set -eu
cd "$(dirname "$0")/.."
native=$PWD/artifacts/native
example=$PWD/config/garden.yaml
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
gcc -O2 -o "$work/order" deploy/order.c
nm -n "$native/bin/BackyardSentinel/release_linux-x64/native/backyard-sentinel.dbg" > "$work/symbols"
cat > "$work/garden.yaml" <<YAML
broker: { port: 18997, client_id: order, topic_root: order, embedded: true }
page: { port: 18996 }
sites:
  - id: site0
    latitude: 47
    longitude: 8
    series:
      - { quantity: temperature, topic: sensors/0, path: t }
      - { quantity: humidity, topic: sensors/0, path: h }
    plantings:
      - { id: peach, kind: peach }
YAML
run() {
  name=$1
  shift
  "$work/order" "$work/$name.names" "$native/linux-x64/backyard-sentinel" "$@" < "$work/symbols" > "$work/$name.said" 2>&1 &
  service=$!
  for look in 1 2 3 4 5 6; do
    sleep 5
    page=$(sed -n 's|.*\(http://[0-9.]*:[0-9]*\).*|\1|p' "$work/$name.said" | head -1)
    for path in / /weather /spraying /sensors /journal /year; do
      [ -z "$page" ] || curl -s -o "$work/page" "$page$path" || true
    done
  done
  kill -TERM $service
  wait $service
}
cd "$work"
run demo run --demo --demo-seconds 20
run garden run --garden "$work/garden.yaml"
run again run --garden "$work/garden.yaml"
sed 's|^  # port: 1883|  port: 18995|; s|^  # port: 5480|  port: 18994|' "$example" > "$work/example.yaml"
run example run --garden "$work/example.yaml"
cd - > /dev/null
LC_ALL=C sort -u "$work"/*.names > deploy/order.txt
# The compiler does not look whether the list has changed.
rm -f "$native"/obj/BackyardSentinel/release_linux-*/native/backyard-sentinel.o
wc -l deploy/order.txt
