#!/bin/bash
# What try.sh lets a whole Debian do with the package, as root, from its first boot to the purge: a line for each thing that was seen.
# What has to outlive the power lies in /trial.
set -u
phase=$(cat /trial/phase 2>/dev/null || echo 1)

seen() { # what, a command that shows it
  if out=$(eval "$2" 2>&1); then echo "seen: $1"; else echo "NOT SEEN: $1: $2: $out"; fi
}

until_seen() { # what, seconds, a command
  local start=$SECONDS
  while ((SECONDS - start < $2)); do
    if eval "$3" >/dev/null 2>&1; then echo "seen: $1, after $((SECONDS - start)) s"; return; fi
    sleep 1
  done
  echo "NOT SEEN: $1 within $2 s: $3"
  systemctl status --no-pager --full backyard-sentinel | tail -20
}

unit() { systemctl show backyard-sentinel -P "$1"; }
# The same of an instance.
instance() { systemctl show -P "$1" backyard-sentinel@other; }
log_has() { journalctl -u backyard-sentinel --no-pager -o cat | grep -q "$1"; }

sensors() { # readings of one minute
  mosquitto_pub -q 1 -t garden/air -m "{\"t\": $1, \"h\": 81}" && mosquitto_pub -q 1 -t garden/rain -m '{"mm": 0.2}'
}

grower() { su - grower -c "$1"; }
has() { grower "backyard-sentinel export readings" | grep -q ",$1,"; } # a temperature

first_boot() {
  echo "info: $(. /etc/os-release; echo "$PRETTY_NAME"), kernel $(uname -r), $(systemctl --version | head -1), $(uname -m)"
  seen "the machine is up, by systemd" '[ "$(ps -o comm= 1)" = systemd ]'
  until_seen "mosquitto runs" 20 "systemctl is-active mosquitto"
  seen "the package goes in" "DEBIAN_FRONTEND=noninteractive apt-get install -y /trial/package.deb"
  seen "without a garden file the service waits, and has not failed" \
    '[ "$(unit ActiveState)/$(unit ConditionResult)" = inactive/no ] && systemctl is-enabled backyard-sentinel'
  adduser --disabled-password --gecos "" grower >/dev/null && adduser grower backyard-sentinel >/dev/null

  (for i in $(seq 40); do sensors "9.$((i % 10))"; sleep 1; done) &
  sensors=$!
  seen "set-up hears the sensors and writes a garden file" \
    "backyard-sentinel set-up < /trial/answers > /trial/set-up.txt && [ -s /etc/backyard-sentinel/garden.yaml ]"
  wait $sensors
  seen "the service is started as set-up says" "systemctl restart backyard-sentinel"
  until_seen "the service is ready (Type=notify)" 20 '[ "$(unit ActiveState)/$(unit SubState)" = active/running ]'
  echo "info: $(systemd-analyze security backyard-sentinel.service | tail -1)"
  sensors 8.1; sleep 1; sensors 8.2
  until_seen "what the broker sends is stored" 60 'has 8.2'
  seen "a grower of the group writes the journal beside the running service" \
    'grower "backyard-sentinel journal add stage swell --planting white" && grower "backyard-sentinel journal list" | grep -q swell'
  seen "one who is not of the group sees nothing of it" 'su -s /bin/sh nobody -c "cat /etc/backyard-sentinel/garden.yaml" 2>&1 | grep "Permission denied"'
  seen "examine finds nothing wrong" 'backyard-sentinel examine > /trial/examine.txt; grep -q "^fine" /trial/examine.txt && ! grep "^wrong" /trial/examine.txt'
  seen "the page answers" '[ "$(curl -s -o /dev/null -w "%{http_code}" http://127.0.0.1:5480/health)" = 200 ]'
  echo "info: memory $(unit MemoryCurrent | awk '{printf "%.1f", $1 / 1048576}') MiB by the unit's own count"

  pid=$(unit MainPID)
  echo "  port: 5482" >> /etc/backyard-sentinel/garden.yaml # Its last part is the page's.
  seen "systemctl reload is answered" "systemctl reload backyard-sentinel"
  until_seen "the changed file is in use, in the same process" 20 \
    "curl -sf http://127.0.0.1:5482/health && [ \$(unit MainPID) = $pid ]"
  cp /etc/backyard-sentinel/garden.yaml /trial/good.yaml
  echo "nonsense: [" >> /etc/backyard-sentinel/garden.yaml
  systemctl reload backyard-sentinel
  until_seen "a file with errors changes nothing and is told" 20 "[ \$(unit MainPID) = $pid ] && log_has 'cannot be used as it is now'"
  cp /trial/good.yaml /etc/backyard-sentinel/garden.yaml
  systemctl reload backyard-sentinel
  sleep 15

  kill -STOP "$(unit MainPID)"
  until_seen "one that hangs is killed by the watchdog and started again" 90 \
    "[ \$(unit MainPID) != $pid ] && [ \$(unit SubState) = running ]"
  pid=$(unit MainPID)
  kill -KILL "$pid"
  until_seen "one that dies is started again" 30 "[ \$(unit MainPID) != $pid ] && [ \$(unit SubState) = running ]"
  start=$(date +%s%N)
  systemctl stop backyard-sentinel
  echo "info: it stops in $((($(date +%s%N) - start) / 1000000)) ms"
  seen "it stops cleanly" '[ "$(unit ActiveState)/$(unit Result)" = inactive/success ]'
  sed -i 's/^sites:/sitez:/' /etc/backyard-sentinel/garden.yaml
  systemctl start backyard-sentinel
  sleep 8
  seen "a file that cannot be used ends it for good, with what is wrong in the log" \
    "[ \$(unit ExecMainStatus)/\$(unit NRestarts) = 78/0 ] && log_has sitez"
  cp /trial/good.yaml /etc/backyard-sentinel/garden.yaml

  mkdir -p /etc/systemd/system/backyard-sentinel.service.d
  printf '[Service]\nLoadCredential=phone-url:/trial/secret\n' > /etc/systemd/system/backyard-sentinel.service.d/secret.conf
  sed -i 's|^      kind: topic|      kind: webhook\n      url: file:/run/credentials/backyard-sentinel.service/phone-url|' /etc/backyard-sentinel/garden.yaml
  systemctl daemon-reload
  systemctl start backyard-sentinel
  until_seen "it starts with a secret that systemd hands over, readable for root alone" 20 '[ "$(unit SubState)" = running ]'
  rm -r /etc/systemd/system/backyard-sentinel.service.d
  cp /trial/good.yaml /etc/backyard-sentinel/garden.yaml
  systemctl daemon-reload
  systemctl restart backyard-sentinel

  sed 's/port: 5482/port: 5481/' /trial/good.yaml > /etc/backyard-sentinel/other.yaml
  systemctl start backyard-sentinel@other
  sleep 3
  seen "a second garden runs as an instance of its own" \
    "systemctl is-active backyard-sentinel@other && curl -sf http://127.0.0.1:5481/health && [ -d /var/lib/backyard-sentinel/other ]"
  systemctl stop backyard-sentinel@other

  for i in $(seq 23); do sensors "7.$((i % 10))"; sleep 0.2; done
  until_seen "the last reading before the power goes is stored" 60 'has 7.3'
  sensors 6.5
  sleep 35
  backyard-sentinel export readings --file /trial/before.csv >/dev/null
  sync /trial/before.csv
  echo 2 > /trial/phase
  sync /trial/phase
  sensors 6.6
  echo "POWER"
  sleep 600
}

after_the_power_cut() {
  until_seen "after a power cut it starts with the machine" 60 '[ "$(unit SubState)" = running ]'
  echo "info: $(systemd-analyze | head -1); the service: $(systemd-analyze blame | grep backyard-sentinel.service)"
  backyard-sentinel export readings --file /trial/after.csv >/dev/null
  seen "all that was stored before is there" '[ -s /trial/before.csv ] && ! grep -vxFf /trial/after.csv /trial/before.csv | grep -v stopped'
  seen "examine finds nothing wrong" 'backyard-sentinel examine > /trial/examine.txt; grep -q "^fine" /trial/examine.txt && ! grep "^wrong" /trial/examine.txt'
  sensors 5.5; sleep 1; sensors 5.6
  until_seen "it takes readings again" 60 'has 5.6'
  systemctl start backyard-sentinel@other
  sleep 3
  seen "the package is upgraded over itself, and the service and an instance that runs started again" \
    "pid=\$(unit MainPID); of=\$(instance MainPID); apt-get install -y --reinstall /trial/package.deb && sleep 4 && [ \$(unit MainPID) != \$pid ] && [ \$(unit SubState) = running ] && [ \$(instance MainPID) != \$of ] && [ \$(instance SubState) = running ]"
  seen "removing keeps the store and the garden file" \
    "apt-get remove -y backyard-sentinel && [ \$(instance MainPID) = 0 ] && [ -s /etc/backyard-sentinel/garden.yaml ] && find /var/lib/backyard-sentinel -name '*.db' | grep db"
  seen "purging leaves nothing" \
    "apt-get purge -y backyard-sentinel && [ ! -e /etc/backyard-sentinel ] && [ ! -e /var/lib/backyard-sentinel ] && ! systemctl list-unit-files | grep backyard"
}

case $phase in
  1) first_boot ;;
  2) after_the_power_cut; echo END; systemctl poweroff ;;
esac
