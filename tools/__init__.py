"""What a contributor's commands run; `make help` lists the commands."""
