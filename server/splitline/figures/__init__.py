"""What follows from the records: figures of sources, months and regions, kept up after every change."""
