"""Care of what is kept: backups, moving house, what is done about damage, the log, and the doctor."""
