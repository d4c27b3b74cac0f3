"""Pages of seals: the list, the sheet that is printed, checking an older one."""
