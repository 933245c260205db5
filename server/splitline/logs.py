"""What the server tells its keeper: lines on standard error, for people or, as JSON (RFC 8259), for programs."""

import logging.config
from typing import Literal, get_args

LogForm = Literal["text", "json"]
FORMS: tuple[LogForm, ...] = get_args(LogForm)


def configure(form: LogForm) -> None:
    """Send everything logged in this process to standard error, one line each; times are UTC in JSON."""
    logging.config.dictConfig(
        {
            "version": 1,
            "disable_existing_loggers": False,
            "formatters": {
                "text": {"format": "%(asctime)s %(levelname)s %(message)s"},
                "json": {
                    "()": "pythonjsonlogger.json.JsonFormatter",
                    "fmt": "%(levelname)s %(name)s %(message)s",
                    "rename_fields": {"levelname": "level"},
                    "timestamp": True,
                },
            },
            "handlers": {"standard_error": {"class": "logging.StreamHandler", "formatter": form}},
            "root": {"handlers": ["standard_error"], "level": "INFO"},
            # Says at every start and stop of a worker what nobody has to know.
            "loggers": {"uvicorn": {"level": "WARNING"}, "alembic": {"level": "WARNING"}},
        }
    )
