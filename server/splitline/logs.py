"""What the server tells its keeper: lines on standard error, for people or, as JSON (RFC 8259), for programs."""

import logging.config
from contextvars import ContextVar
from typing import Literal, get_args

LogForm = Literal["text", "json"]
FORMS: tuple[LogForm, ...] = get_args(LogForm)
REQUEST: ContextVar[str] = ContextVar("request", default="")
"""The name of the request that is being answered; nothing outside of one."""


class WithRequest(logging.Filter):
    """Tells a record for which request it was written."""

    def filter(self, record: logging.LogRecord) -> bool:
        """Let everything through."""
        if name := REQUEST.get():
            record.request_id = name
        return True


class Text(logging.Formatter):
    """For people: the name of the request at the end of the line."""

    def formatMessage(self, record: logging.LogRecord) -> str:  # noqa: N802 - the library's name
        """Return the line."""
        name = getattr(record, "request_id", "")
        return super().formatMessage(record) + (f" [{name}]" if name else "")


def configure(form: LogForm) -> None:
    """Send everything logged in this process to standard error, one line each; times are UTC in JSON."""
    logging.config.dictConfig(
        {
            "version": 1,
            "disable_existing_loggers": False,
            "formatters": {
                "text": {"()": Text, "fmt": "%(asctime)s %(levelname)s %(message)s"},
                "json": {
                    "()": "pythonjsonlogger.json.JsonFormatter",
                    "fmt": "%(levelname)s %(name)s %(message)s",
                    "rename_fields": {"levelname": "level"},
                    "timestamp": True,
                },
            },
            "filters": {"with_request": {"()": WithRequest}},
            "handlers": {
                "standard_error": {"class": "logging.StreamHandler", "formatter": form, "filters": ["with_request"]}
            },
            "root": {"handlers": ["standard_error"], "level": "INFO"},
            # Says at every start and stop of a worker what nobody has to know.
            "loggers": {"uvicorn": {"level": "WARNING"}, "alembic": {"level": "WARNING"}},
        }
    )
