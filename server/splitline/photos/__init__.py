"""Pictures of tubes: kept without metadata, and known again though they were made smaller."""
