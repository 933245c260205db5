"""Lists as single parameters, so that a statement is compiled once for lists of any length."""

from collections.abc import Mapping
from typing import Any, ClassVar, Self

from msgspec import json
from sqlalchemy import (
    BindParameter,
    Boolean,
    Column,
    ColumnElement,
    Integer,
    Select,
    Text,
    TypeDecorator,
    bindparam,
    cast,
    column,
    func,
)
from sqlalchemy.dialects.postgresql import ARRAY, JSONB
from sqlalchemy.engine import Dialect
from sqlalchemy.ext.compiler import compiles
from sqlalchemy.sql.compiler import SQLCompiler
from sqlalchemy.sql.functions import FunctionElement
from sqlalchemy.types import TypeEngine


class Texts(TypeDecorator[list[Any]]):
    """A list of texts: an array for PostgreSQL, JSON text for SQLite."""

    impl = Text
    cache_ok = True
    kind: type[TypeEngine[Any]] = Text

    def load_dialect_impl(self, dialect: Dialect) -> TypeEngine[Any]:
        return dialect.type_descriptor(Text() if dialect.name == "sqlite" else ARRAY(self.kind))

    def process_bind_param(self, value: Any, dialect: Dialect) -> Any:
        values = list(value or ())
        return json.encode(values).decode() if dialect.name == "sqlite" else values


class Numbers(Texts):
    """A list of whole numbers."""

    cache_ok = True
    kind = Integer


class _Condition(FunctionElement[bool]):
    """A condition on a column and a parameter or a query. forms: its text for each engine."""

    type = Boolean()
    inherit_cache = True
    forms: ClassVar[Mapping[str, str]]

    def self_group(self, against: Any = None) -> Self:
        """Return it unchanged: SQLAlchemy would write `= 1` for SQLite, which then uses no index."""
        return self


@compiles(_Condition)
def _as_text(element: _Condition, compiler: SQLCompiler, **options: Any) -> str:
    column, values = (compiler.process(part, **options) for part in element.clauses)
    return element.forms[compiler.dialect.name].format(column, values)


class _Among(_Condition):
    inherit_cache = True
    forms: ClassVar = {"sqlite": "{} IN (SELECT value FROM json_each({}))", "postgresql": "{} = ANY ({})"}


class _Found(_Condition):
    inherit_cache = True
    forms: ClassVar = {"sqlite": "{} IN {}", "postgresql": "{} = ANY (ARRAY{})"}


def among(column: Column[Any], name: str) -> _Among:
    """The condition that a column has one of the values of a list parameter of this name."""
    listed: BindParameter[list[Any]] = bindparam(name, type_=Numbers() if isinstance(column.type, Integer) else Texts())
    return _Among(column, listed)


def found_by(column: ColumnElement[Any], query: Select[Any]) -> _Found:
    """The condition that a column has one of the values that a correlated query returns, found by the column's index.

    So a join can take the first few rows for each row of another table.
    """
    return _Found(column, query.scalar_subquery())


def given(name: str, columns: Mapping[str, type[TypeEngine[Any]]]) -> dict[str, dict[str, ColumnElement[Any]]]:
    """Return, for each engine, the columns of a JSON list parameter of rows, for joins."""
    value = bindparam(name, type_=Text)
    objects = func.json_each(value).table_valued("value")
    typed: list[ColumnElement[Any]] = [column(each, kind) for each, kind in columns.items()]
    records = func.jsonb_to_recordset(cast(value, JSONB)).table_valued(*typed).render_derived("given", with_types=True)
    return {
        "sqlite": {each: func.json_extract(objects.c.value, f"$.{each}") for each in columns},
        "postgresql": {each: records.c[each] for each in columns},
    }
