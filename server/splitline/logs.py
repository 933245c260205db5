"""The server's log: lines on standard error, for people or, as JSON (RFC 8259), for programs."""

import logging.config
from contextvars import ContextVar
from typing import Literal, get_args

LogForm = Literal["text", "json"]
FORMS: tuple[LogForm, ...] = get_args(LogForm)
REQUEST: ContextVar[str] = ContextVar("request", default="")
"""Id of the request being answered; empty outside of one."""


class WithRequest(logging.Filter):
    """Adds the id of the current request to each log record."""

    def filter(self, record: logging.LogRecord) -> bool:
        """Add the id and let every record through."""
        if name := REQUEST.get():
            record.request_id = name
        return True


class Text(logging.Formatter):
    """For people: the request id at the end of the line."""

    def formatMessage(self, record: logging.LogRecord) -> str:  # noqa: N802 - the library's name
        """Return the formatted line."""
        name = getattr(record, "request_id", "")
        return super().formatMessage(record) + (f" [{name}]" if name else "")


def configure(form: LogForm) -> None:
    """Send this process's log to standard error, one line per entry; times are UTC in JSON."""
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
            # Logs a line of no interest at every start and stop of a worker.
            "loggers": {"uvicorn": {"level": "WARNING"}, "alembic": {"level": "WARNING"}},
        }
    )
