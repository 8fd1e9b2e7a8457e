"""Words come last: everything people read is in the catalogue, and all of the catalogue is used."""

import ast
import re
import string
from functools import cache
from html import unescape
from pathlib import Path

import pytest

import lift
from lift.words import PLAIN, say
from lift.words.english import SENTENCES

PACKAGE = Path(lift.__file__).parent
SAYS = [PACKAGE / "words" / "__init__.py", *sorted((PACKAGE / "make").glob("*.py"))]
"""Which say codes, too, and hold texts that are nobody's to translate."""

MODULES = [
    path
    for path in sorted(PACKAGE.rglob("*.py"))
    if path.relative_to(PACKAGE).parts[0] not in {"words", "make"}
]
TEMPLATES = [*sorted(PACKAGE.rglob("*.html")), *sorted(PACKAGE.rglob("*.jinja"))]
SCRIPTS = sorted(PACKAGE.rglob("*.js"))

PLACES = re.compile(r"(upper|lower|center) (left|right|center)|(offset|axes|figure) \w+")
"""Places in a picture, as matplotlib calls them."""

WORDS_OF_FILES = {
    *("common practice", "pale yellow", "palest yellow", "strand test", "time limit"),
    "zone by zone",
}
"""Codes that have a space, in files and answers of long standing."""

ALLOWED: dict[str, tuple[str, ...]] = {
    "answers/encode.py": ("an answer holds a number that is not finite",),
    "practice/records/flat.py": ("TEXT", "REAL", "INTEGER", "NOT NULL"),
    "practice/visit/home.py": ("SELECT", "FROM", "INSERT", "DELETE"),
    "practice/visit/database.py": ("CREATE", "SELECT", "INSERT", "PRAGMA", "BEGIN"),
    "practice/visit/visit_store.py": (
        *("SELECT", "INSERT", "UPDATE", "DELETE", "FROM", "WHERE", "ORDER", "AND", "json_type"),
    ),
    "practice/visit/pictures.py": ("SELECT", "INSERT", "DELETE"),
    "practice/visit/old_records.py": (
        *("SELECT", "FROM", "INSERT", "UPDATE", "DELETE", "DROP", "PRAGMA"),
    ),
    "practice/scenario/scenario_table.py": ("{} blonde of {}",),
    "practice/trial/strand_file.py": ("lift strand test",),
    "show/card/card.html.jinja": ("default-src",),
    "show/card/guide.html.jinja": ("default-src",),
    "show/page/reading.py": ("Object missing", "Object contains"),
    "show/page/templates/page.html": ("light dark",),
    "show/plots/bayes_plots.py": ("outside upper right",),
    "research/evidence/measured.py": ("dark brown", "black hair"),
    "research/evidence/toning.py": ("Von Kries",),
    "show/report/tune_page.py": ('<svg role="img" aria-label="',),
    "optics/adapter.py": ("CIE 1931 2 Degree", "CIE 1964 10 Degree"),
}
"""Texts that nobody reads or that are not ours: code of another language, names that another
library gives, what only a fault of this program brings up."""


def name(path):
    return path.relative_to(PACKAGE).as_posix()


@cache
def tree(path):
    return ast.parse(path.read_text("utf-8"))


def is_text(node):
    return isinstance(node, ast.Constant) and isinstance(node.value, str)


# Codes.

SAYING = {
    "say",
    "note",
    "named",
    "option",
    "LiftError",
    "LimitError",
    "check_range",
    "check_number",
    "check_choice",
}
"""Whose first argument is a code; of an option, `says`."""

FILE = re.compile(r"\.(py|toml|csv|json|html|js|css|svg|png|pdf|jinja|sqlite|cxf|ics|md|npy|txt)$")
CODE = re.compile(r"[a-z][a-z0-9_]*(\.[\w -]+)+")
FIELD = re.compile(r"[A-Za-z_]\w*")
FAMILIES = {code.partition(".")[0] for code in SENTENCES if "." in code}


def pattern(node):
    """Regular expression of the codes that an f-string may make."""
    parts = [re.escape(p.value) if isinstance(p, ast.Constant) else ".+" for p in node.values]
    return "".join(parts)


def made_by(node):
    """Codes of the catalogue that an f-string may make."""
    return [code for code in SENTENCES if re.fullmatch(pattern(node), code)]


def docstrings(path):
    """Constants that stand alone: docstrings, of modules, classes, functions and values."""
    return {
        id(node.value)
        for node in ast.walk(tree(path))
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)
    }


@cache
def python_texts():
    """Every text of every module, and of every f-string the pattern of what it makes."""
    found = []
    for path in (*SAYS, *MODULES):
        apart = docstrings(path)
        for node in ast.walk(tree(path)):
            if isinstance(node, ast.JoinedStr):
                found.append((path, None, pattern(node)))
                apart |= {id(part) for part in node.values}
            elif is_text(node) and id(node) not in apart:
                found.append((path, node.value, None))
    return found


@cache
def script_codes():
    """Codes and patterns in templates and scripts; a script leaves out ``page.js``."""
    exact, made = set(), set()
    for path in (*TEMPLATES, *SCRIPTS):
        text = path.read_text("utf-8")
        for quoted in re.findall(r"\"([^\"\n]+)\"|'([^'\n]+)'", text):
            exact.update(part for part in quoted if part)
        exact.update(re.findall(r"\b(?:say|note)\(\s*[\"']([^\"']+)", text))
        made.update(re.findall(r"`([^`\n]+)`", text))
        made.update(f"{q}${{x}}" for q in re.findall(r"[\"']([\w.]+\.)[\"'] ~", text))
        made.update(f"{q}.${{x}}" for q in re.findall(r"named\(\"(\w+)\"", text))
    prefixed = {f"page.js.{code}" for code in exact} | {f"page.js.{code}" for code in made}
    patterns = (
        re.sub(r"\\\$\\\{.*?\\\}", ".+", re.escape(m)) for m in made | prefixed if "${" in m
    )
    return exact | prefixed, {p for p in patterns if p.partition(r"\.")[0] in FAMILIES}


@cache
def used():
    """Codes that something can say."""
    exact = {text for _, text, _ in python_texts() if text is not None}
    patterns = {p for _, _, p in python_texts() if p and p.partition(r"\.")[0] in FAMILIES}
    codes, made = script_codes()
    for template in SENTENCES.values():
        for spec in re.findall(r":codes? ([\w.]+)\}", template):
            patterns.add(re.escape(spec) + r"\..+")
    whole = re.compile("|".join(f"(?:{p})" for p in patterns | made))
    said = {c for c in SENTENCES if c in exact | codes or whole.fullmatch(c)}
    return said | {c for c in SENTENCES if c.removesuffix(PLAIN) in said}


def test_every_code_of_the_catalogue_is_used():
    assert sorted(SENTENCES.keys() - used()) == []


def test_plain_words_hold_no_number_of_a_laboratory_and_need_no_more_fields():
    plain = [code for code in SENTENCES if code.endswith(PLAIN)]
    assert plain
    for code in plain:
        assert fields_of(SENTENCES[code]) <= fields_of(SENTENCES[code.removesuffix(PLAIN)]), code
        assert not re.search(r"dC\*|dE00|[Lab]\*|CIELAB|Munsell|\bpH\b|\bum\b", SENTENCES[code])


def test_quantities_that_have_words_are_declared():
    """Their codes are made from their names, so the test above takes any name for one."""
    declared = set()
    for path in MODULES:
        for node in ast.walk(tree(path)):
            if isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name):
                declared.add(node.target.id)
            elif isinstance(node, ast.Call):
                named = [k.value for k in node.keywords if k.arg == "name"] + node.args[:1]
                declared |= {n.value for n in named if isinstance(n, ast.Constant)}
    stray = {
        code
        for code in SENTENCES
        if code.startswith("quantity.") and code.count(".") == 2
        if code.split(".")[1] not in declared
    }
    assert {c for c in stray if c not in {t for _, t, _ in python_texts()}} == set()


def first_code(node):
    """Constant or f-string that a call says, with the values it gives; None: no such call."""
    function = getattr(node.func, "id", getattr(node.func, "attr", ""))
    if function not in SAYING:
        return None
    said = [k.value for k in node.keywords if k.arg == "says"] or node.args[:1]
    if function in ("option", "asking"):
        said = [k.value for k in node.keywords if k.arg == "says"]
    return said[0] if said else None


def unknown(path):
    """What a module says without there being such a code."""
    for node in ast.walk(tree(path)):
        said = first_code(node) if isinstance(node, ast.Call) else None
        if is_text(said) and said.value not in SENTENCES:
            yield said.value
        if isinstance(said, ast.JoinedStr) and not made_by(said):
            yield ast.unparse(said)
    for at, text, _ in python_texts():
        if at == path and text is not None and CODE.fullmatch(text) and text not in SENTENCES:
            family = text.partition(".")[0]
            tail = any(code.endswith(f".{text}") for code in SENTENCES)
            module = (PACKAGE / f"{text.replace('.', '/')}.py").exists()
            if family in FAMILIES - {"lift"} and not (FILE.search(text) or tail or module):
                yield text


def test_every_code_said_is_in_the_catalogue():
    found = {name(path): list(unknown(path)) for path in MODULES}
    assert {n: texts for n, texts in found.items() if texts} == {}


def fields_of(template):
    """Fields that a template needs."""
    found = set()
    for _, field, spec, _ in string.Formatter().parse(template):
        if field is not None:
            found.add(FIELD.match(field)[0])
            found |= fields_of(spec or "") if "{" in (spec or "") else set()
    return found


def test_the_parser_finds_fields():
    assert fields_of("{a:g} of {b[0]:.{digits}f} {c!r:>3} {d:count bowl|bowls}") == {
        *("a", "b", "digits", "c", "d")
    }


def test_every_field_of_a_template_is_given():
    """Where a call names a code and its values, all that the template needs are there."""
    lacking = []
    for path in MODULES:
        for node in ast.walk(tree(path)):
            if not isinstance(node, ast.Call):
                continue
            function = getattr(node.func, "id", getattr(node.func, "attr", ""))
            if function not in {"say", "note", "named", "LiftError", "LimitError"}:
                continue
            said = first_code(node)
            code = getattr(said, "value", None)
            if code not in SENTENCES or any(k.arg is None for k in node.keywords):
                continue
            missing = fields_of(SENTENCES[code]) - {k.arg for k in node.keywords}
            if missing:
                lacking.append(f"{name(path)}:{node.lineno}: {code} lacks {sorted(missing)}")
    assert lacking == []


# Sentences that are wired in.

TWO_WORDS = re.compile(r"[A-Za-z]{2,} [A-Za-z]{2,}")


def is_sentence(text):
    codes = text in WORDS_OF_FILES or PLACES.fullmatch(text)
    return TWO_WORDS.search(text) and not codes


def provenance(path):
    """Sources that declarations name, as the curve set's parameters do: data, not speech."""
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Call):
            whole = getattr(node.func, "id", "") == "Parameter"
            given = [k.value for k in node.keywords if k.arg == "source"] + whole * node.args
            yield from (id(part) for value in given for part in ast.walk(value))


def wired_python(path):
    apart = docstrings(path) | set(provenance(path))
    for node in ast.walk(tree(path)):
        if is_text(node) and id(node) not in apart and is_sentence(node.value):
            yield node.value


SHOWN = r"(?:title|alt|aria-label|placeholder|label|content)"


def read(text):
    """Whether there are words in it; units are none."""
    return re.search(r"[A-Za-z]{3,}", re.sub(r"\b(min|vol|deg|dE00)\b", "", text))


def wired_markup(text):
    """Texts between tags, and attributes that are read or heard; Jinja and style apart."""
    text = re.sub(r"(?s)\{#.*?#\}|<!--.*?-->|<style.*?</style>|<script.*?</script>", "", text)
    inside = "|".join(re.findall(r"(?s)\{[{%].*?[}%]\}", text))
    text = unescape(re.sub(r"(?s)\{\{.*?\}\}|\{%.*?%\}", "\x00", text))
    for quoted in re.findall(r"\"([^\"]*)\"|'([^']*)'", inside):
        yield from (part for part in quoted if TWO_WORDS.search(part))
    for value in re.findall(rf'\s{SHOWN}="([^"]*)"', text):
        if read(value) and "=" not in value:
            yield value
    for between in re.sub(r"(?s)<[^>]*>", "\x01", text).split("\x01"):
        if read(between):
            yield " ".join(between.replace("\x00", " ").split())


TOKEN = re.compile(
    r"//[^\n]*|/\*.*?\*/"
    r"|(?<=[(,=:\[!&|?{};\s])/(?![/*\s])(?:\\.|\[(?:\\.|[^\]\\\n])*\]|[^/\\\n\[])+/[gimsuy]*"
    r"|\"((?:\\.|[^\"\\\n])*)\"|'((?:\\.|[^'\\\n])*)'|`((?:\\.|[^`\\])*)`",
    re.S,
)
"""Comment, regular expression, or text in quotes of a script."""


def script_texts(text):
    """Texts in quotes of a script, what is put into them apart."""
    inside = []

    def take(found):
        inside.append(found[0])
        return "\x00"

    while (shorter := re.sub(r"\$\{[^{}]*\}", take, text)) != text:
        text = shorter
    for part in (text, *inside):
        for found in TOKEN.finditer(part):
            yield from (piece for whole in found.groups() if whole for piece in whole.split("\x00"))


def wired(path):
    """Sentences of a file that should be in the catalogue."""
    if path.suffix == ".py":
        found = list(wired_python(path))
    elif path.suffix == ".js":
        texts = script_texts(path.read_text("utf-8"))
        found = [text for text in texts if TWO_WORDS.search(text)]
    else:
        found = list(wired_markup(path.read_text("utf-8")))
    allowed = ALLOWED.get(name(path), ())
    return [text for text in found if not any(text.strip().startswith(a) for a in allowed)]


def test_the_scanners_see_sentences(tmp_path):
    path = tmp_path / "module.py"
    path.write_text('"""Doc of it."""\nX = f"{1} too warm {2}"\n"""About x."""\nY = "a.b c"\n')
    assert list(wired_python(path)) == [" too warm "]
    markup = '<p title="Go there">{{ say("a.b") }} min</p>{# no #}<b>Colour</b>{{ "two words" }}'
    assert list(wired_markup(markup)) == ["two words", "Go there", "Colour"]
    script = "// no words\nsay('a.b'); x = /no words/; y = `too ${'x'} warm here`; z = \"it is\";"
    assert [t for t in script_texts(script) if TWO_WORDS.search(t)] == [" warm here", "it is"]


def test_no_sentence_is_wired_in():
    """A second language is one file: whatever people read goes through the catalogue."""
    files = [*MODULES, *TEMPLATES, *SCRIPTS]
    found = {name(path): wired(path) for path in files}
    assert {n: texts for n, texts in found.items() if texts} == {}


def test_what_is_allowed_is_there():
    files = {name(path): path for path in (*MODULES, *TEMPLATES, *SCRIPTS)}
    stale = {
        f"{n}: {a}"
        for n, texts in ALLOWED.items()
        for a in texts
        if n not in files or a not in files[n].read_text("utf-8")
    }
    assert stale == set()


@pytest.mark.parametrize(
    ("minutes", "shown"),
    [(0, "0:00"), (18.599, "18:36"), (65.999, "66:00"), (125.5, "125:30"), (-3.0, "0:00")],
)
def test_minutes_on_a_clock(minutes, shown):
    assert say("clock", t=minutes) == shown
