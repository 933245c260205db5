"""Alembic runs here, on the connection and inside the transaction that `migrate.py` opened."""

from alembic import context

from splitline.store.schema import metadata

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=metadata,
    render_as_batch=True,
)
context.run_migrations()
