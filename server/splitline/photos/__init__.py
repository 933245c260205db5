"""Pictures of tubes: kept without metadata, and given out small."""
