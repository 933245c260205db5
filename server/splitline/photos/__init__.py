"""Pictures of tubes: stored without metadata, and served in smaller sizes."""
