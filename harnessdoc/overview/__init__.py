"""What hangs together with what: devices, boxes, mated halves and grounds as blocks, one link a group of wires."""
