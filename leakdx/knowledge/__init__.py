"""The typed knowledge: model, loader, schema, lint."""
