#compdef backyard-sentinel
# Completion of backyard-sentinel. Made from its commands by: dotnet run --project tests/BackyardSentinel.Tests -- generate
local at= word
local -a next
for word in "${(@)words[2,CURRENT-1]}"; do
  case "$at/$word" in
      /run|/set-up|/replay|/tune|/journal|\
/journal/add|/journal/add/stage|/journal/add/spray|/journal/add/scout|/journal/add/pick|\
/journal/add/leaf-fall|/journal/add/shelter|/journal/withdraw|/journal/list|/plan|\
/explain|/refused|/report|/export|/fit|\
/alert|/alert/test|/alert/list|/alert/seen|/alert/later|\
/backup|/restore|/check|/examine|/page|\
/listen) at=$at/$word ;;
  esac
done
case "$at ${words[CURRENT-1]}" in
  '/run --garden') _files; return ;;
  '/run --demo-seconds') _files; return ;;
  '/set-up --garden') _files; return ;;
  '/replay --garden') _files; return ;;
  '/replay --site') _files; return ;;
  '/replay --step') _files; return ;;
  '/replay --period') _files; return ;;
  '/replay --stamp') compadd -- end instant start; return ;;
  '/replay --zone') _files; return ;;
  '/replay --stage') _files; return ;;
  '/replay --journal') _files; return ;;
  '/replay --latitude') _files; return ;;
  '/replay --wet-on') _files; return ;;
  '/replay --from') _files; return ;;
  '/replay --to') _files; return ;;
  '/replay --columns') _files; return ;;
  '/replay --units') compadd -- metric us; return ;;
  '/replay --time-pattern') _files; return ;;
  '/replay --if-sprayed') _files; return ;;
  '/replay --instead-of') _files; return ;;
  '/replay --product') _files; return ;;
  '/tune --garden') _files; return ;;
  '/tune --site') _files; return ;;
  '/tune --step') _files; return ;;
  '/tune --period') _files; return ;;
  '/tune --stamp') compadd -- end instant start; return ;;
  '/tune --zone') _files; return ;;
  '/tune --stage') _files; return ;;
  '/tune --journal') _files; return ;;
  '/tune --latitude') _files; return ;;
  '/tune --wet-on') _files; return ;;
  '/tune --from') _files; return ;;
  '/tune --to') _files; return ;;
  '/tune --columns') _files; return ;;
  '/tune --units') compadd -- metric us; return ;;
  '/tune --time-pattern') _files; return ;;
  '/tune --rule') _files; return ;;
  '/tune --vary') _files; return ;;
  '/tune --miss-cost') _files; return ;;
  '/tune --level') compadd -- likely possible severe; return ;;
  '/tune --drawing') _files; return ;;
  '/journal/add/stage --garden') _files; return ;;
  '/journal/add/stage --site') _files; return ;;
  '/journal/add/stage --planting') _files; return ;;
  '/journal/add/stage --on') _files; return ;;
  '/journal/add/stage --note') _files; return ;;
  '/journal/add/stage --corrects') _files; return ;;
  '/journal/add/spray --volume') _files; return ;;
  '/journal/add/spray --dose') _files; return ;;
  '/journal/add/spray --at') _files; return ;;
  '/journal/add/spray --garden') _files; return ;;
  '/journal/add/spray --site') _files; return ;;
  '/journal/add/spray --planting') _files; return ;;
  '/journal/add/spray --on') _files; return ;;
  '/journal/add/spray --note') _files; return ;;
  '/journal/add/spray --corrects') _files; return ;;
  '/journal/add/scout --shoots') _files; return ;;
  '/journal/add/scout --curled') _files; return ;;
  '/journal/add/scout --symptom') compadd -- curled dropping puckered white-bloom; return ;;
  '/journal/add/scout --garden') _files; return ;;
  '/journal/add/scout --site') _files; return ;;
  '/journal/add/scout --planting') _files; return ;;
  '/journal/add/scout --on') _files; return ;;
  '/journal/add/scout --note') _files; return ;;
  '/journal/add/scout --corrects') _files; return ;;
  '/journal/add/pick --garden') _files; return ;;
  '/journal/add/pick --site') _files; return ;;
  '/journal/add/pick --planting') _files; return ;;
  '/journal/add/pick --on') _files; return ;;
  '/journal/add/pick --note') _files; return ;;
  '/journal/add/pick --corrects') _files; return ;;
  '/journal/add/leaf-fall --garden') _files; return ;;
  '/journal/add/leaf-fall --site') _files; return ;;
  '/journal/add/leaf-fall --planting') _files; return ;;
  '/journal/add/leaf-fall --on') _files; return ;;
  '/journal/add/leaf-fall --note') _files; return ;;
  '/journal/add/leaf-fall --corrects') _files; return ;;
  '/journal/add/shelter --garden') _files; return ;;
  '/journal/add/shelter --site') _files; return ;;
  '/journal/add/shelter --planting') _files; return ;;
  '/journal/add/shelter --on') _files; return ;;
  '/journal/add/shelter --note') _files; return ;;
  '/journal/add/shelter --corrects') _files; return ;;
  '/journal/withdraw --garden') _files; return ;;
  '/journal/list --garden') _files; return ;;
  '/journal/list --planting') _files; return ;;
  '/plan --garden') _files; return ;;
  '/plan --site') _files; return ;;
  '/plan --at') _files; return ;;
  '/plan --forecast') _files; return ;;
  '/plan --journal') _files; return ;;
  '/plan --ics') _files; return ;;
  '/plan --mix') _files; return ;;
  '/plan --volume') _files; return ;;
  '/explain --garden') _files; return ;;
  '/explain --site') _files; return ;;
  '/explain --planting') _files; return ;;
  '/explain --at') _files; return ;;
  '/explain --journal') _files; return ;;
  '/refused --garden') _files; return ;;
  '/refused --topic') _files; return ;;
  '/refused --limit') _files; return ;;
  '/report --garden') _files; return ;;
  '/report --file') _files; return ;;
  '/report --csv') _files; return ;;
  '/export --garden') _files; return ;;
  '/export --site') _files; return ;;
  '/export --from') _files; return ;;
  '/export --to') _files; return ;;
  '/export --file') _files; return ;;
  '/export --format') compadd -- csv json parquet; return ;;
  '/fit --garden') _files; return ;;
  '/fit --site') _files; return ;;
  '/fit --planting') _files; return ;;
  '/fit --stage') _files; return ;;
  '/alert/test --garden') _files; return ;;
  '/alert/test --to') _files; return ;;
  '/alert/list --garden') _files; return ;;
  '/alert/seen --garden') _files; return ;;
  '/alert/later --for') _files; return ;;
  '/alert/later --garden') _files; return ;;
  '/backup --garden') _files; return ;;
  '/restore --garden') _files; return ;;
  '/check --garden') _files; return ;;
  '/examine --garden') _files; return ;;
  '/examine --for') _files; return ;;
  '/page --garden') _files; return ;;
  '/listen --garden') _files; return ;;
  '/listen --broker') _files; return ;;
  '/listen --for') _files; return ;;
  '/listen --topic') _files; return ;;
  '/listen --payload') _files; return ;;
esac
case "$at" in
  '') next=(
    'run:Watch the garden: listen to its sensors, judge, publish levels'
    'set-up:Make a garden file by asking, and by listening to your sensors'
    'replay:Judge recorded sensor logs: wet spells, infection windows, levels'
    'tune:Vary a rule'\''s limits over your logs, and score them against your scouting'
    'journal:Your own notes: stages seen, sprays done, scouting, picking, leaf fall, rain shelter'
    'plan:Plan the dormant sprays of the coming 10 days: slots, deadlines, refusals, copper, tank mix (the label is the law)'
    'explain:Why the level is what it is, now or at a time, with the readings used'
    'refused:What sensors sent that could not be taken, and why'
    'report:A season as one file to read and to print: windows, sprays, copper, looks, what was not known'
    'export:Write readings, intervals, windows, journal or copper for other programs, and for replay'
    'fit:Fit a planting'\''s heat needs to the stages you wrote down in two years or more'
    'alert:The way to your phone: try it, see what was sent, answer'
    'backup:Copy the store to a file, also while the service runs'
    'restore:Put a backup in the store'\''s place while the service is stopped'
    'check:Check the garden file and show everything that is wrong with it'
    'examine:Look the installation over: clock, disk, store, broker, sensors, the way to the phone'
    'page:Where the page is, and its keys, the one that writes as a code to scan'
    'listen:Hear what sensors send, and propose series for the garden file'
    '--help:Show help and usage information'
    '-h:Show help and usage information'
    '--version:Show version information'
    '--verbose:Say more, with stack traces'
  ) ;;
  '/run') next=(
    '--garden:The garden file'
    '--demo:Watch an invented garden through a broker inside the program'
    '--demo-seconds:How long the demo'\''s season takes, 5 to 86400 seconds'
    '--time-from-readings:The readings'\'' own times are the clock: for feeding a recorded log through a broker'
    '--help:Show help and usage information'
    '-h:Show help and usage information'
    '--verbose:Say more, with stack traces'
  ) ;;
  '/set-up') next=(
    '--garden:The garden file to write'
    '--help:Show help and usage information'
    '-h:Show help and usage information'
    '--verbose:Say more, with stack traces'
  ) ;;
  '/replay') next=(
    '--garden:Judge with the settings and plantings of this garden file'
    '--site:The garden file'\''s site to judge with; without --garden just a name in the output'
    '--step:Length of an interval: 5m, 10m, 15m, 20m, 30m or 60m (default: the garden file'\''s, else 10m)'
    '--period:Each row describes this much time, such as 60m; without it rows are momentary'
    '--stamp:What a row'\''s time marks: start, end or instant (default: start with --period, else instant)'
    '--zone:IANA zone of local days and of times without a zone (default: the garden file'\''s, else UTC)'
    '--stage:always, followed, or the BBCH code 0-97 that holds throughout (default: the garden file'\''s; else followed with --journal or --latitude, always without)'
    '--journal:What the grower saw and did: a file of entries, or a store'
    '--latitude:Latitude of the log, south negative: bud stages are then followed (default: the garden file'\''s)'
    '--wet-on:Leaf-wetness value from which the sensor counts as wet'
    '--from:Leave out rows before this time'
    '--to:Leave out rows at or after this time'
    '--columns:Other column names: time=… (or time=DAY+CLOCK where they stand apart), temperature=…, humidity=…, leaf-wetness=…, rain=…, wind-speed=…, leaf-wetness-under-shelter=…'
    '--units:Units of the log: metric, or us for °F, inches and mph; without --garden of the text too'
    '--time-pattern:How the log writes its local times, such as "MM/dd/yyyy HH:mm" or "M/d/yyyy h:mm tt"'
    '--influx:Judge what the garden file'\''s InfluxDB server has of the site, in place of a log'
    '--json:Print one JSON object'
    '--csv:Print the infection windows as CSV'
    '--compare:Set the rules and your own variants side by side: where they part, and why'
    '--if-sprayed:Would the trees have been covered, sprayed on this day? For this run only; needs --garden'
    '--instead-of:The day of the spray in the journal that is moved there (default: none, a spray is added to every planting)'
    '--product:The product meant by --if-sprayed, where several could be'
    '--help:Show help and usage information'
    '-h:Show help and usage information'
    '--verbose:Say more, with stack traces'
  ) ;;
  '/tune') next=(
    '--garden:Judge with the settings and plantings of this garden file'
    '--site:The garden file'\''s site to judge with; without --garden just a name in the output'
    '--step:Length of an interval: 5m, 10m, 15m, 20m, 30m or 60m (default: the garden file'\''s, else 10m)'
    '--period:Each row describes this much time, such as 60m; without it rows are momentary'
    '--stamp:What a row'\''s time marks: start, end or instant (default: start with --period, else instant)'
    '--zone:IANA zone of local days and of times without a zone (default: the garden file'\''s, else UTC)'
    '--stage:always, followed, or the BBCH code 0-97 that holds throughout (default: the garden file'\''s; else followed with --journal or --latitude, always without)'
    '--journal:What the grower saw and did: a file of entries, or a store'
    '--latitude:Latitude of the log, south negative: bud stages are then followed (default: the garden file'\''s)'
    '--wet-on:Leaf-wetness value from which the sensor counts as wet'
    '--from:Leave out rows before this time'
    '--to:Leave out rows at or after this time'
    '--columns:Other column names: time=… (or time=DAY+CLOCK where they stand apart), temperature=…, humidity=…, leaf-wetness=…, rain=…, wind-speed=…, leaf-wetness-under-shelter=…'
    '--units:Units of the log: metric, or us for °F, inches and mph; without --garden of the text too'
    '--time-pattern:How the log writes its local times, such as "MM/dd/yyyy HH:mm" or "M/d/yyyy h:mm tt"'
    '--influx:Judge what the garden file'\''s InfluxDB server has of the site, in place of a log'
    '--rule:The rule or variant whose limits are varied (default: the one that gives the level)'
    '--vary:The limits to vary, by their keys in the garden file, or all (default: the rule'\''s first two or three)'
    '--miss-cost:What a miss costs, in false alarms (default: 3)'
    '--level:Count only windows that come to this level: possible, likely or severe'
    '--drawing:Write a drawing of the trade-off to this file, as SVG'
    '--keep:Keep the result beside the store, for the page and the report'
    '--json:Print one JSON object'
    '--help:Show help and usage information'
    '-h:Show help and usage information'
    '--verbose:Say more, with stack traces'
  ) ;;
  '/journal') next=(
    'add:Write down what you did or saw'
    'withdraw:Take an entry back; the history keeps it'
    'list:Show the journal'
    '--help:Show help and usage information'
    '-h:Show help and usage information'
    '--verbose:Say more, with stack traces'
  ) ;;
  '/journal/add') next=(
    'stage:A bud stage was seen'
    'spray:A spray was applied'
    'scout:Shoots were looked at for leaf curl'
    'pick:Curled leaves were picked'
    'leaf-fall:So many leaves have fallen in autumn'
    'shelter:The rain shelter was put over a planting, or taken off'
    '--help:Show help and usage information'
    '-h:Show help and usage information'
    '--verbose:Say more, with stack traces'
  ) ;;
  '/journal/add/stage') next=(
    '--garden:The garden file'
    '--site:The site; needed where several have a planting of this name'
    '--planting:The planting; needed where there are several'
    '--on:The local day, such as 2027-02-12 (default: today)'
    '--note:Your own words'
    '--corrects:The number of the entry that this one takes the place of'
    '--new:Begin a store that no service has used yet'
    '--dry-run:Say what would be written and write nothing'
    '--help:Show help and usage information'
    '-h:Show help and usage information'
    '--verbose:Say more, with stack traces'
  ) ;;
  '/journal/add/spray') next=(
    '--volume:Spray mixture used on the whole planting, such as 5L or 1.5gal'
    '--dose:Product in it, such as 7.5g/L or 2floz/gal (default: the product'\''s dose)'
    '--at:Local time at which you ended, such as 14:30 (default: noon is assumed)'
    '--garden:The garden file'
    '--site:The site; needed where several have a planting of this name'
    '--planting:The planting; needed where there are several'
    '--on:The local day, such as 2027-02-12 (default: today)'
    '--note:Your own words'
    '--corrects:The number of the entry that this one takes the place of'
    '--new:Begin a store that no service has used yet'
    '--dry-run:Say what would be written and write nothing'
    '--help:Show help and usage information'
    '-h:Show help and usage information'
    '--verbose:Say more, with stack traces'
  ) ;;
  '/journal/add/scout') next=(
    '--shoots:Shoots looked at'
    '--curled:Shoots with leaf curl among them'
    '--symptom:The furthest you saw'
    '--garden:The garden file'
    '--site:The site; needed where several have a planting of this name'
    '--planting:The planting; needed where there are several'
    '--on:The local day, such as 2027-02-12 (default: today)'
    '--note:Your own words'
    '--corrects:The number of the entry that this one takes the place of'
    '--new:Begin a store that no service has used yet'
    '--dry-run:Say what would be written and write nothing'
    '--help:Show help and usage information'
    '-h:Show help and usage information'
    '--verbose:Say more, with stack traces'
  ) ;;
  '/journal/add/pick') next=(
    '--garden:The garden file'
    '--site:The site; needed where several have a planting of this name'
    '--planting:The planting; needed where there are several'
    '--on:The local day, such as 2027-02-12 (default: today)'
    '--note:Your own words'
    '--corrects:The number of the entry that this one takes the place of'
    '--new:Begin a store that no service has used yet'
    '--dry-run:Say what would be written and write nothing'
    '--help:Show help and usage information'
    '-h:Show help and usage information'
    '--verbose:Say more, with stack traces'
  ) ;;
  '/journal/add/leaf-fall') next=(
    '--garden:The garden file'
    '--site:The site; needed where several have a planting of this name'
    '--planting:The planting; needed where there are several'
    '--on:The local day, such as 2027-02-12 (default: today)'
    '--note:Your own words'
    '--corrects:The number of the entry that this one takes the place of'
    '--new:Begin a store that no service has used yet'
    '--dry-run:Say what would be written and write nothing'
    '--help:Show help and usage information'
    '-h:Show help and usage information'
    '--verbose:Say more, with stack traces'
  ) ;;
  '/journal/add/shelter') next=(
    'off'
    'on'
    '--garden:The garden file'
    '--site:The site; needed where several have a planting of this name'
    '--planting:The planting; needed where there are several'
    '--on:The local day, such as 2027-02-12 (default: today)'
    '--note:Your own words'
    '--corrects:The number of the entry that this one takes the place of'
    '--new:Begin a store that no service has used yet'
    '--dry-run:Say what would be written and write nothing'
    '--help:Show help and usage information'
    '-h:Show help and usage information'
    '--verbose:Say more, with stack traces'
  ) ;;
  '/journal/withdraw') next=(
    '--garden:The garden file'
    '--dry-run:Say what would be taken back and write nothing'
    '--help:Show help and usage information'
    '-h:Show help and usage information'
    '--verbose:Say more, with stack traces'
  ) ;;
  '/journal/list') next=(
    '--garden:The garden file'
    '--planting:Only this planting'
    '--all:Corrected and withdrawn lines too'
    '--json:Print one JSON object, which replay --journal reads'
    '--help:Show help and usage information'
    '-h:Show help and usage information'
    '--verbose:Say more, with stack traces'
  ) ;;
  '/plan') next=(
    '--garden:The garden file'
    '--site:The site; needed where the garden has several'
    '--at:Plan from this moment, such as 2027-01-15T08:00:00Z (default: now)'
    '--forecast:A file with the forecast, in the program'\''s own form or the one that the garden file describes (default: the last one the service took in)'
    '--journal:The journal: a file of entries, or a store (default: the garden'\''s store)'
    '--json:Print one JSON object'
    '--ics:Write slots, deadlines and scouting days as a calendar to this file; - prints it instead of the plan'
    '--mix:Work out the tank mix of this product (the label is the law)'
    '--volume:How much to mix, such as "5 L" or "1.5 gal" (default: the plantings'\'' spray_volume)'
    '--help:Show help and usage information'
    '-h:Show help and usage information'
    '--verbose:Say more, with stack traces'
  ) ;;
  '/explain') next=(
    '--garden:The garden file'
    '--site:Only this site'
    '--planting:Only this planting'
    '--at:A time that is past, such as 2027-04-12T06:30 in the site'\''s local time, or with Z or an offset (default: now)'
    '--journal:A journal file in place of the store'\''s journal'
    '--json:Print one JSON object'
    '--help:Show help and usage information'
    '-h:Show help and usage information'
    '--verbose:Say more, with stack traces'
  ) ;;
  '/refused') next=(
    '--garden:The garden file'
    '--topic:Only this topic'
    '--limit:How many at most, the newest first (1 to 1000, default 20)'
    '--json:Print one JSON object'
    '--help:Show help and usage information'
    '-h:Show help and usage information'
    '--verbose:Say more, with stack traces'
  ) ;;
  '/report') next=(
    '--garden:The garden file'
    '--file:Where the report goes (default: standard output)'
    '--csv:Write windows, sprays and looks as CSV, too'
    '--overwrite:Replace files that are there'
    '--demo:The season of the invented garden of run --demo'
    '--help:Show help and usage information'
    '-h:Show help and usage information'
    '--verbose:Say more, with stack traces'
  ) ;;
  '/export') next=(
    'copper'
    'hours'
    'intervals'
    'journal'
    'readings'
    'windows'
    '--garden:The garden file'
    '--site:Only this site (default: all of them)'
    '--from:Leave out what is before this time or day'
    '--to:Leave out what is at or after this time or day'
    '--file:Write to this file, which only you may read (default: standard output)'
    '--format:csv; for the journal also json; for readings also parquet, which needs --file'
    '--overwrite:Replace the file if it is there'
    '--help:Show help and usage information'
    '-h:Show help and usage information'
    '--verbose:Say more, with stack traces'
  ) ;;
  '/fit') next=(
    '--garden:The garden file'
    '--site:The site; needed where several have a planting of this name'
    '--planting:The planting; needed where there are several'
    '--stage:BBCH code of the stage to fit to'
    '--json:Print one JSON object'
    '--help:Show help and usage information'
    '-h:Show help and usage information'
    '--verbose:Say more, with stack traces'
  ) ;;
  '/alert') next=(
    'test:Send a test message the whole way and show each destination'\''s answer'
    'list:Show the alerts, what became of them, and whether the way to the phone works'
    'seen:You have seen it: you will hear no more about it unless it gets worse'
    'later:Not now: anything new about it waits until then'
    '--help:Show help and usage information'
    '-h:Show help and usage information'
    '--verbose:Say more, with stack traces'
  ) ;;
  '/alert/test') next=(
    '--garden:The garden file'
    '--to:Only to this destination (default: to all of them)'
    '--dry-run:Check the destinations'\'' settings and show the message, and send nothing'
    '--words:Show each kind of alert in the garden'\''s words, told of invented news, and send nothing'
    '--help:Show help and usage information'
    '-h:Show help and usage information'
    '--verbose:Say more, with stack traces'
  ) ;;
  '/alert/list') next=(
    '--garden:The garden file'
    '--all:Everything ever sent (default: what is open, and the last seven days)'
    '--json:Print one JSON object'
    '--help:Show help and usage information'
    '-h:Show help and usage information'
    '--verbose:Say more, with stack traces'
  ) ;;
  '/alert/seen') next=(
    '--garden:The garden file'
    '--help:Show help and usage information'
    '-h:Show help and usage information'
    '--verbose:Say more, with stack traces'
  ) ;;
  '/alert/later') next=(
    '--for:How long, such as 90m or 6h; up to 720h'
    '--garden:The garden file'
    '--help:Show help and usage information'
    '-h:Show help and usage information'
    '--verbose:Say more, with stack traces'
  ) ;;
  '/backup') next=(
    '--garden:The garden file'
    '--dry-run:Read the whole store through and write nothing'
    '--help:Show help and usage information'
    '-h:Show help and usage information'
    '--verbose:Say more, with stack traces'
  ) ;;
  '/restore') next=(
    '--garden:The garden file'
    '--dry-run:Read the backup through, say what it holds and change nothing'
    '--help:Show help and usage information'
    '-h:Show help and usage information'
    '--verbose:Say more, with stack traces'
  ) ;;
  '/check') next=(
    '--garden:The garden file'
    '--help:Show help and usage information'
    '-h:Show help and usage information'
    '--verbose:Say more, with stack traces'
  ) ;;
  '/examine') next=(
    '--garden:The garden file'
    '--for:How long to listen to the broker: 1s to 1h, default 5s'
    '--json:Print one JSON object'
    '--help:Show help and usage information'
    '-h:Show help and usage information'
    '--verbose:Say more, with stack traces'
  ) ;;
  '/page') next=(
    '--garden:The garden file'
    '--renew:Make new keys: whoever has the old ones is shut out'
    '--help:Show help and usage information'
    '-h:Show help and usage information'
    '--verbose:Say more, with stack traces'
  ) ;;
  '/listen') next=(
    '--garden:The garden file'
    '--broker:Another broker than the garden file'\''s; the port may be left out'
    '--for:How long to listen: 1s to 24h, default 60s. Sensors that sleep longer are not heard'
    '--topic:Only these topics, with + and # as wildcards; with --payload: the message'\''s topic'
    '--payload:Do not listen: show what this one message gives'
    '--json:Print one JSON object'
    '--help:Show help and usage information'
    '-h:Show help and usage information'
    '--verbose:Say more, with stack traces'
  ) ;;
esac
_describe 'next' next -o || _files
