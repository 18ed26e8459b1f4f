"""What came in from a file: noted as one import, and taken back as one."""
