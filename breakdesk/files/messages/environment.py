"""The sandbox that turns a template into text: documented variables only, and no way to run on and on.

This module imports Jinja2; nothing that a start needs may import it at module level.
"""

from __future__ import annotations

import re
import time
from collections.abc import Iterable, Iterator, Mapping
from typing import TYPE_CHECKING, Any

from jinja2 import StrictUndefined, Template, TemplateSyntaxError, Undefined, nodes, pass_context
from jinja2.exceptions import SecurityError, UndefinedError
from jinja2.runtime import Context
from jinja2.sandbox import ImmutableSandboxedEnvironment

from breakdesk.files.messages.plain import plain_line
from breakdesk.files.messages.variables import DOCUMENTED_PARTS, TOP_LEVEL

if TYPE_CHECKING:
    from types import TracebackType

LARGEST_TEMPLATE = 20_000
LARGEST_TEXT = 1_000_000
MOST_ROUNDS = 100_000
WALL_SECONDS = 2.0

_MISSING = re.compile(r"has no attribute '(\w+)'")

# Left out on purpose: calls, assignments, macros, imports, arithmetic that multiplies. Without them a text can only
# grow with the data, so that counting the rounds of all loops bounds the work.
ALLOWED_NODES = (
    nodes.Template,
    nodes.Output,
    nodes.TemplateData,
    nodes.Name,
    nodes.Const,
    nodes.If,
    nodes.For,
    nodes.Getattr,
    nodes.Getitem,
    nodes.Slice,
    nodes.Compare,
    nodes.Operand,
    nodes.And,
    nodes.Or,
    nodes.Not,
    nodes.CondExpr,
    nodes.Filter,
    nodes.Test,
    nodes.Concat,
    nodes.Add,
    nodes.Sub,
    nodes.Neg,
    nodes.Tuple,
    nodes.List,
)
ALLOWED_TESTS = ("odd", "even", "defined", "in", "eq", "equalto", "gt", "lt", "ge", "le", "ne")
ALLOWED_FILTERS = ("length", "count", "upper", "lower", "capitalize", "trim", "first", "last", "default", "d")


class Budget:
    """Rounds and seconds left to one rendering."""

    __slots__ = ("ends", "rounds")

    def __init__(self) -> None:
        self.rounds = MOST_ROUNDS
        self.ends = time.monotonic() + WALL_SECONDS

    def spend(self) -> None:
        self.rounds -= 1
        if self.rounds < 0:
            raise SecurityError("its loops run too long")
        if self.rounds % 256 == 0:
            self.check_time()

    def check_time(self) -> None:
        if time.monotonic() > self.ends:
            raise SecurityError("it takes too long")


class CountedLoop:
    """A sequence whose every round is paid for from the budget."""

    __slots__ = ("budget", "values")

    def __init__(self, values: Iterable[object], budget: Budget) -> None:
        self.values = tuple(values)
        self.budget = budget

    def __iter__(self) -> Iterator[object]:
        for value in self.values:
            self.budget.spend()
            yield value

    def __len__(self) -> int:
        return len(self.values)


@pass_context
def _counted(context: Context, values: Iterable[object]) -> CountedLoop:
    return CountedLoop(values, context["_budget"])


def _led_by(value: object, prefix: object) -> str:
    """The value with something in front; nothing at all where there is no value."""
    return f"{prefix}{value}" if value else ""


class MessageEnvironment(ImmutableSandboxedEnvironment):
    """Jinja2 cut down to what a message needs."""

    def __init__(self) -> None:
        super().__init__(
            autoescape=False,
            undefined=StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
            finalize=_only_text,
            cache_size=0,
        )
        self.globals.clear()
        self.filters = {name: self.filters[name] for name in ALLOWED_FILTERS}
        self.filters["led_by"] = _led_by
        self.filters["_counted"] = _counted
        self.tests = {name: self.tests[name] for name in ALLOWED_TESTS}

    def getattr(self, obj: Any, attribute: str) -> Any:
        """A documented part at once; the sandbox's own questions take longer than the rest of a message."""
        if attribute in DOCUMENTED_PARTS.get(type(obj), ()):
            return getattr(obj, attribute)
        return super().getattr(obj, attribute)

    def _parse(self, source: str, name: str | None, filename: str | None) -> nodes.Template:
        tree = super()._parse(source, name, filename)
        _refuse_undocumented(tree)
        for loop in tree.find_all(nodes.For):
            loop.iter = nodes.Filter(loop.iter, "_counted", [], [], None, None, lineno=loop.lineno)
        tree.set_environment(self)
        return tree


def _only_text(value: object) -> object:
    if isinstance(value, str | int):
        return value
    if isinstance(value, Undefined):
        return str(value)  # raises, naming what is missing
    raise SecurityError("it prints something that is no text; name one of its parts after a dot")


def _refuse_undocumented(tree: nodes.Template) -> None:
    loop_names = {name.name for name in tree.find_all(nodes.Name) if name.ctx == "store"} | {"loop"}
    for node in _all_nodes(tree):
        if not isinstance(node, ALLOWED_NODES) or (isinstance(node, nodes.For) and node.recursive):
            raise TemplateSyntaxError(f"“{type(node).__name__.lower()}” is not available in messages", node.lineno)
        if isinstance(node, nodes.Name) and node.name.startswith("_"):
            raise TemplateSyntaxError(f"“{node.name}” is not available in messages", node.lineno)
        if isinstance(node, nodes.Getattr) and node.attr.startswith("_"):
            raise TemplateSyntaxError(f"“{node.attr}” is not available in messages", node.lineno)
        if isinstance(node, nodes.Name) and node.name not in loop_names and node.name not in TOP_LEVEL:
            raise TemplateSyntaxError(f"there is no variable “{node.name}”", node.lineno)
        if isinstance(node, nodes.Filter) and node.name not in (*ALLOWED_FILTERS, "led_by"):
            raise TemplateSyntaxError(f"there is no filter “{node.name}”", node.lineno)
        if isinstance(node, nodes.Test) and node.name not in ALLOWED_TESTS:
            raise TemplateSyntaxError(f"there is no test “{node.name}”", node.lineno)


def _all_nodes(node: nodes.Node) -> Iterator[nodes.Node]:
    yield node
    for child in node.iter_child_nodes():
        yield from _all_nodes(child)


def compile_template(environment: MessageEnvironment, source: str, filename: str) -> Template:
    """Compile one template; raises TemplateSyntaxError with the line for anything beyond the documented language."""
    if len(source) > LARGEST_TEMPLATE:
        raise TemplateSyntaxError(f"it is longer than {LARGEST_TEMPLATE} characters", 1)
    code = environment.compile(source, filename, filename)
    return Template.from_code(environment, code, {})


def render(template: Template, variables: Mapping[str, object]) -> str:
    """Render within the budget; raises whatever the template did wrong."""
    budget = Budget()
    text = "".join(_chunks(template, {**variables, "_budget": budget}, budget))
    return text.strip("\n")


def _chunks(template: Template, variables: dict[str, Any], budget: Budget) -> Iterator[str]:
    size = 0
    context = template.new_context(variables)
    try:
        for chunk in template.root_render_func(context):
            size += len(chunk)
            if size > LARGEST_TEXT:
                raise SecurityError("its text grows too long")
            yield chunk
    except Exception as error:
        # Jinja2 rewrites the traceback so that the template's own line stands in it.
        raise template.environment.handle_exception() from error


def line_of(error: BaseException, filename: str) -> int:
    """The line of the template on which it went wrong; 1 where nobody knows."""
    if isinstance(error, TemplateSyntaxError):
        return error.lineno
    line, step = 1, error.__traceback__
    while step is not None:
        line = _line_in(step, filename) or line
        step = step.tb_next
    return line


def _line_in(step: TracebackType, filename: str) -> int | None:
    return step.tb_lineno if step.tb_frame.f_code.co_filename == filename else None


def sentence_of(error: BaseException) -> str:
    """What went wrong, as one sentence without a line end."""
    missing = _MISSING.search(str(error)) if isinstance(error, UndefinedError) else None
    if missing is not None:
        return f"There is nothing called “{missing.group(1)}” here."
    if isinstance(error, TypeError):
        return "It puts things together that do not go together."
    said = plain_line(str(error)) or type(error).__name__
    return said[:1].upper() + said[1:].rstrip(".") + "."
