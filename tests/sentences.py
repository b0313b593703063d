"""What of a module a person would read, for `server/words/test_catalogue.py`."""

import ast
import re
from collections.abc import Iterator

#: Two words, or a phrase that ends as a sentence does.
_SENTENCE = re.compile(r"[^\W\d_]{2,}[,.:;!?]* [^\W\d_({]|[^\W\d_)][.!?…]$")
#: SQL, HTML, CSS, headers and TypeScript.
_LANGUAGE = re.compile(
    r"^\s*(SELECT|INSERT|UPDATE|DELETE|CREATE|DROP|PRAGMA|WITH|BEGIN|ALTER|SET|COPY|VACUUM|REINDEX|AND|OR|"
    r"WHERE|FROM|JOIN|ORDER BY|LIMIT|UNION|GROUP BY)\b|^\s*(<|:root\{)|^(export|import|interface) "
    r"|-src \S|max-age=|%Y-%m|\bis null\b|\border by\b"
    r"|\(select \w|\bnot exists \(|\bcross join\b|[<>]?= :",
    re.IGNORECASE,
)
#: Told to programmers: faults of the program, help of the command line, the API description.
_FAULTS = {"AssertionError", "ValueError", "TypeError", "RuntimeError", "KeyError"}
_FOR_PROGRAMMERS = {"help", "short_help", "epilog", "description", "summary", "metavar", "metadata"}
_CALLS = {"execute", "executescript", "query", "row", "rows", "compile", "add_argument"}
#: The API description, logs, the name of a process.
_CALLS |= {"Room", "leads_from", "exception", "warning", "Granian"}
#: What another library says.
_CALLS |= {"startswith", "endswith"}


def sentences_in(tree: ast.AST) -> list[tuple[int, str]]:
    """Return `(line, text)` of each sentence that stands in a module as a literal."""
    found = [(node.lineno, text) for node, text in _literals(tree)]
    return [(line, text) for line, text in found if _is_sentence(text)]


def _is_sentence(text: str) -> bool:
    return bool(_SENTENCE.search(text)) and not _LANGUAGE.search(text)


def _literals(tree: ast.AST) -> Iterator[tuple[ast.expr, str]]:
    """Walk past what no person reads."""
    if isinstance(tree, ast.JoinedStr):
        yield tree, "".join(_text(part) for part in tree.values)
        inner = [part.value for part in tree.values if isinstance(part, ast.FormattedValue)]
        for part in inner:
            yield from _literals(part)
        return
    if isinstance(tree, ast.Constant) and isinstance(tree.value, str):
        yield tree, tree.value
        return
    for child in ast.iter_child_nodes(tree):
        if not _is_for_programmers(tree, child):
            yield from _literals(child)


def _text(part: ast.expr) -> str:
    return str(part.value) if isinstance(part, ast.Constant) else "{}"


def _is_for_programmers(parent: ast.AST, child: ast.AST) -> bool:
    if isinstance(parent, ast.Expr) and isinstance(child, ast.Constant):
        return True  # a docstring
    if isinstance(parent, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
        return child in parent.decorator_list or child is getattr(parent, "returns", None)
    if isinstance(parent, ast.arg | ast.Assert | ast.Compare):
        return not (isinstance(parent, ast.Assert) and child is parent.test)
    if isinstance(parent, ast.AnnAssign) and child is parent.annotation:
        return True
    if isinstance(parent, ast.Subscript) and _name(parent.value) == "Annotated":
        return True  # a type: what it says goes into the API description
    if isinstance(parent, ast.Attribute) and parent.attr == "split":
        return True
    if isinstance(parent, ast.Assign):
        names = [target.id.lower() for target in parent.targets if isinstance(target, ast.Name)]
        return any("description" in name for name in names)
    if isinstance(parent, ast.Call):
        return _name(parent.func) in _FAULTS | _CALLS and child is not parent.func
    if isinstance(parent, ast.keyword):
        return parent.arg in _FOR_PROGRAMMERS
    return isinstance(parent, ast.Dict) and (child in parent.keys or _describes(parent, child))


def _describes(parent: ast.Dict, child: ast.AST) -> bool:
    keys = [
        key.value
        for key, value in zip(parent.keys, parent.values, strict=True)
        if value is child and isinstance(key, ast.Constant)
    ]
    return any(key in {*_FOR_PROGRAMMERS, "title"} for key in keys)


def _name(call: ast.expr) -> str:
    return call.attr if isinstance(call, ast.Attribute) else getattr(call, "id", "")
