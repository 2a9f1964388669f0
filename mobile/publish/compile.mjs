// Compiles Python sources with the very Python that will run them.
//
//   node compile.mjs PYTHON-FOLDER SOURCES.zip COMPILED.zip
//
// Every .py becomes a .pyc that is never checked against a source; docstrings and assertions are
// left out, and of where code stood only the lines are kept. The same sources give the same bytes:
// fixed hash seed, sorted order, no dates.
import fs from "node:fs";
import { pathToFileURL } from "node:url";

const [folder, sources, compiled] = process.argv.slice(2);
const { loadPyodide } = await import(pathToFileURL(`${folder}/pyodide.mjs`));
const pyodide = await loadPyodide({
  indexURL: folder,
  env: { PYTHONHASHSEED: "0", PYTHONNODEBUGRANGES: "1" },
});
pyodide.FS.writeFile("/sources.zip", new Uint8Array(fs.readFileSync(sources)));
pyodide.runPython(`
import importlib.util, marshal, zipfile

HEADER = importlib.util.MAGIC_NUMBER + (1).to_bytes(4, "little") + bytes(8)

def compiled(path, source):
    code = compile(source, path, "exec", dont_inherit=True, optimize=2)
    return HEADER + marshal.dumps(code)

with zipfile.ZipFile("/sources.zip") as given, zipfile.ZipFile("/compiled.zip", "w") as made:
    for path in sorted(given.namelist()):
        entry = zipfile.ZipInfo(path + "c", date_time=(1980, 1, 1, 0, 0, 0))
        made.writestr(entry, compiled(path, given.read(path)))
`);
fs.writeFileSync(compiled, pyodide.FS.readFile("/compiled.zip"));
process.exit(0);
