"""Values that every floor shares; nothing here knows a department."""
