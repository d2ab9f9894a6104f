"""Alembic runs here, on the connection that `model.store.migrate` hands in."""

from alembic import context

context.configure(connection=context.config.attributes["connection"], render_as_batch=True)
context.run_migrations()
