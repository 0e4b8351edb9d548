"""Words to sound: a voice behind one small protocol, and the loudspeaker."""
