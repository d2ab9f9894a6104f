"""The only place that knows SQL: tables, database, migrations, exchange of plain files."""
