"""Pictures of a casting, drawn from what the file holds: plan and section, and the same in words."""
