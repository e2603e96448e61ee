# Completion of backyard-sentinel. Made from its commands by: dotnet run --project tests/BackyardSentinel.Tests -- generate
_backyard_sentinel() {
  local cur=${COMP_WORDS[COMP_CWORD]} prev=${COMP_WORDS[COMP_CWORD-1]} path= word words=
  for word in "${COMP_WORDS[@]:1:COMP_CWORD-1}"; do
    case "$path/$word" in
      /run|/set-up|/replay|/tune|/journal|\
/journal/add|/journal/add/stage|/journal/add/spray|/journal/add/scout|/journal/add/pick|\
/journal/add/leaf-fall|/journal/add/shelter|/journal/withdraw|/journal/list|/plan|\
/explain|/refused|/report|/export|/fit|\
/alert|/alert/test|/alert/list|/alert/seen|/alert/later|\
/backup|/restore|/check|/examine|/page|\
/listen) path=$path/$word ;;
    esac
  done
  COMPREPLY=()
  case "$path $prev" in
    "/run --garden") return ;;
    "/run --demo-seconds") return ;;
    "/set-up --garden") return ;;
    "/replay --garden") return ;;
    "/replay --site") return ;;
    "/replay --step") return ;;
    "/replay --period") return ;;
    "/replay --stamp") words='end instant start' ;;
    "/replay --zone") return ;;
    "/replay --stage") return ;;
    "/replay --journal") return ;;
    "/replay --latitude") return ;;
    "/replay --wet-on") return ;;
    "/replay --from") return ;;
    "/replay --to") return ;;
    "/replay --columns") return ;;
    "/replay --units") words='metric us' ;;
    "/replay --time-pattern") return ;;
    "/replay --if-sprayed") return ;;
    "/replay --instead-of") return ;;
    "/replay --product") return ;;
    "/tune --garden") return ;;
    "/tune --site") return ;;
    "/tune --step") return ;;
    "/tune --period") return ;;
    "/tune --stamp") words='end instant start' ;;
    "/tune --zone") return ;;
    "/tune --stage") return ;;
    "/tune --journal") return ;;
    "/tune --latitude") return ;;
    "/tune --wet-on") return ;;
    "/tune --from") return ;;
    "/tune --to") return ;;
    "/tune --columns") return ;;
    "/tune --units") words='metric us' ;;
    "/tune --time-pattern") return ;;
    "/tune --rule") return ;;
    "/tune --vary") return ;;
    "/tune --miss-cost") return ;;
    "/tune --level") words='likely possible severe' ;;
    "/tune --drawing") return ;;
    "/journal/add/stage --garden") return ;;
    "/journal/add/stage --site") return ;;
    "/journal/add/stage --planting") return ;;
    "/journal/add/stage --on") return ;;
    "/journal/add/stage --note") return ;;
    "/journal/add/stage --corrects") return ;;
    "/journal/add/spray --volume") return ;;
    "/journal/add/spray --dose") return ;;
    "/journal/add/spray --at") return ;;
    "/journal/add/spray --garden") return ;;
    "/journal/add/spray --site") return ;;
    "/journal/add/spray --planting") return ;;
    "/journal/add/spray --on") return ;;
    "/journal/add/spray --note") return ;;
    "/journal/add/spray --corrects") return ;;
    "/journal/add/scout --shoots") return ;;
    "/journal/add/scout --curled") return ;;
    "/journal/add/scout --symptom") words='curled dropping puckered white-bloom' ;;
    "/journal/add/scout --garden") return ;;
    "/journal/add/scout --site") return ;;
    "/journal/add/scout --planting") return ;;
    "/journal/add/scout --on") return ;;
    "/journal/add/scout --note") return ;;
    "/journal/add/scout --corrects") return ;;
    "/journal/add/pick --garden") return ;;
    "/journal/add/pick --site") return ;;
    "/journal/add/pick --planting") return ;;
    "/journal/add/pick --on") return ;;
    "/journal/add/pick --note") return ;;
    "/journal/add/pick --corrects") return ;;
    "/journal/add/leaf-fall --garden") return ;;
    "/journal/add/leaf-fall --site") return ;;
    "/journal/add/leaf-fall --planting") return ;;
    "/journal/add/leaf-fall --on") return ;;
    "/journal/add/leaf-fall --note") return ;;
    "/journal/add/leaf-fall --corrects") return ;;
    "/journal/add/shelter --garden") return ;;
    "/journal/add/shelter --site") return ;;
    "/journal/add/shelter --planting") return ;;
    "/journal/add/shelter --on") return ;;
    "/journal/add/shelter --note") return ;;
    "/journal/add/shelter --corrects") return ;;
    "/journal/withdraw --garden") return ;;
    "/journal/list --garden") return ;;
    "/journal/list --planting") return ;;
    "/plan --garden") return ;;
    "/plan --site") return ;;
    "/plan --at") return ;;
    "/plan --forecast") return ;;
    "/plan --journal") return ;;
    "/plan --ics") return ;;
    "/plan --mix") return ;;
    "/plan --volume") return ;;
    "/explain --garden") return ;;
    "/explain --site") return ;;
    "/explain --planting") return ;;
    "/explain --at") return ;;
    "/explain --journal") return ;;
    "/refused --garden") return ;;
    "/refused --topic") return ;;
    "/refused --limit") return ;;
    "/report --garden") return ;;
    "/report --file") return ;;
    "/report --csv") return ;;
    "/export --garden") return ;;
    "/export --site") return ;;
    "/export --from") return ;;
    "/export --to") return ;;
    "/export --file") return ;;
    "/export --format") words='csv json parquet' ;;
    "/fit --garden") return ;;
    "/fit --site") return ;;
    "/fit --planting") return ;;
    "/fit --stage") return ;;
    "/alert/test --garden") return ;;
    "/alert/test --to") return ;;
    "/alert/list --garden") return ;;
    "/alert/seen --garden") return ;;
    "/alert/later --for") return ;;
    "/alert/later --garden") return ;;
    "/backup --garden") return ;;
    "/restore --garden") return ;;
    "/check --garden") return ;;
    "/examine --garden") return ;;
    "/examine --for") return ;;
    "/page --garden") return ;;
    "/listen --garden") return ;;
    "/listen --broker") return ;;
    "/listen --for") return ;;
    "/listen --topic") return ;;
    "/listen --payload") return ;;
    *)
      case "$path" in
        '') words='run
set-up
replay
tune
journal
plan
explain
refused
report
export
fit
alert
backup
restore
check
examine
page
listen
--help
-h
--version
--verbose' ;;
        '/run') words='--garden
--demo
--demo-seconds
--time-from-readings
--help
-h
--verbose' ;;
        '/set-up') words='--garden
--help
-h
--verbose' ;;
        '/replay') words='--garden
--site
--step
--period
--stamp
--zone
--stage
--journal
--latitude
--wet-on
--from
--to
--columns
--units
--time-pattern
--influx
--json
--csv
--compare
--if-sprayed
--instead-of
--product
--help
-h
--verbose' ;;
        '/tune') words='--garden
--site
--step
--period
--stamp
--zone
--stage
--journal
--latitude
--wet-on
--from
--to
--columns
--units
--time-pattern
--influx
--rule
--vary
--miss-cost
--level
--drawing
--keep
--json
--help
-h
--verbose' ;;
        '/journal') words='add
withdraw
list
--help
-h
--verbose' ;;
        '/journal/add') words='stage
spray
scout
pick
leaf-fall
shelter
--help
-h
--verbose' ;;
        '/journal/add/stage') words='--garden
--site
--planting
--on
--note
--corrects
--new
--dry-run
--help
-h
--verbose' ;;
        '/journal/add/spray') words='--volume
--dose
--at
--garden
--site
--planting
--on
--note
--corrects
--new
--dry-run
--help
-h
--verbose' ;;
        '/journal/add/scout') words='--shoots
--curled
--symptom
--garden
--site
--planting
--on
--note
--corrects
--new
--dry-run
--help
-h
--verbose' ;;
        '/journal/add/pick') words='--garden
--site
--planting
--on
--note
--corrects
--new
--dry-run
--help
-h
--verbose' ;;
        '/journal/add/leaf-fall') words='--garden
--site
--planting
--on
--note
--corrects
--new
--dry-run
--help
-h
--verbose' ;;
        '/journal/add/shelter') words='off
on
--garden
--site
--planting
--on
--note
--corrects
--new
--dry-run
--help
-h
--verbose' ;;
        '/journal/withdraw') words='--garden
--dry-run
--help
-h
--verbose' ;;
        '/journal/list') words='--garden
--planting
--all
--json
--help
-h
--verbose' ;;
        '/plan') words='--garden
--site
--at
--forecast
--journal
--json
--ics
--mix
--volume
--help
-h
--verbose' ;;
        '/explain') words='--garden
--site
--planting
--at
--journal
--json
--help
-h
--verbose' ;;
        '/refused') words='--garden
--topic
--limit
--json
--help
-h
--verbose' ;;
        '/report') words='--garden
--file
--csv
--overwrite
--demo
--help
-h
--verbose' ;;
        '/export') words='copper
hours
intervals
journal
readings
windows
--garden
--site
--from
--to
--file
--format
--overwrite
--help
-h
--verbose' ;;
        '/fit') words='--garden
--site
--planting
--stage
--json
--help
-h
--verbose' ;;
        '/alert') words='test
list
seen
later
--help
-h
--verbose' ;;
        '/alert/test') words='--garden
--to
--dry-run
--words
--help
-h
--verbose' ;;
        '/alert/list') words='--garden
--all
--json
--help
-h
--verbose' ;;
        '/alert/seen') words='--garden
--help
-h
--verbose' ;;
        '/alert/later') words='--for
--garden
--help
-h
--verbose' ;;
        '/backup') words='--garden
--dry-run
--help
-h
--verbose' ;;
        '/restore') words='--garden
--dry-run
--help
-h
--verbose' ;;
        '/check') words='--garden
--help
-h
--verbose' ;;
        '/examine') words='--garden
--for
--json
--help
-h
--verbose' ;;
        '/page') words='--garden
--renew
--help
-h
--verbose' ;;
        '/listen') words='--garden
--broker
--for
--topic
--payload
--json
--help
-h
--verbose' ;;
      esac ;;
  esac
  mapfile -t COMPREPLY < <(compgen -W "$words" -- "$cur")
}
complete -o default -F _backyard_sentinel backyard-sentinel
