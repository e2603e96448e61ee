#!/bin/sh
# Makes the program as one native file, with SQLite's library beside it: deploy/publish.sh [x64|arm64], x64 if not said.
# Needs the .NET 10 SDK and gcc; for arm64 on another machine gcc-aarch64-linux-gnu and libc6-dev-arm64-cross too. Takes minutes.
# What it makes lies in artifacts/native/linux-x64; ordinary builds have folders of their own and know nothing of it.
set -eu
cd "$(dirname "$0")/.."
arch=${1:-x64}
case $arch in
  x64) here=x86_64 cross=x86_64-linux-gnu- ;;
  arm64) here=aarch64 cross=aarch64-linux-gnu- ;;
  *) echo "publish.sh: '$arch' is not an architecture that this makes: x64 or arm64." >&2; exit 2 ;;
esac
if [ "$(uname -m)" = "$here" ]; then cross=; fi
native=artifacts/native
mkdir -p $native/locks
# A native build asks for a compiler that ordinary ones do not, so it works on copies of their lock files.
for project in BackyardSentinel BackyardSentinel.Core; do
  cp "src/$project/packages.lock.json" "$native/locks/$project.json"
done
rm -rf "$native/linux-$arch"
if [ -n "$cross" ]; then
  # The SDK speaks to the linker as to clang, and gcc does not know that one word.
  cat > $native/linker <<EOF
#!/bin/sh
for word do shift; case \$word in --target=*) ;; *) set -- "\$@" "\$word" ;; esac; done
exec ${cross}gcc "\$@"
EOF
  chmod +x $native/linker
fi
dotnet publish src/BackyardSentinel -c Release -r "linux-$arch" --artifacts-path $native -o "$native/linux-$arch" -v q --nologo \
  -p:PublishAot=true -p:RunAnalyzers=false -p:NuGetLockFilePath="$PWD/$native/locks/\$(MSBuildProjectName).json" \
  ${cross:+-p:CppCompilerAndLinker="$PWD/$native/linker" -p:ObjCopyName=${cross}objcopy}
# Symbols are for who looks into a crash; the product is the program, SQLite's library and nothing else.
find "$native/linux-$arch" -type f ! -name backyard-sentinel ! -name libe_sqlite3.so -delete
find "$native/linux-$arch" -mindepth 1 -type d -empty -delete
"${cross}strip" --strip-unneeded "$native/linux-$arch/libe_sqlite3.so"
ls -l "$native/linux-$arch"
