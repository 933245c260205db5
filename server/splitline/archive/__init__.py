"""What leaves a server as a file: the public dataset of a region, and a backup of everything; and the way back."""
