"""What people see of the desk: pages that work without a script, and quicker with one."""
