# A radio on its cable: 24 buttons and eight axes of eleven bits, in the order
# aileron, elevator, throttle, rudder; its rudder is reversed.
PRODUCT="Eight channel radio"
LENGTH=19
DESCRIPTOR='\005\001\011\004\241\001\005\011\031\001\051\030\025\000\045\001\165\001\225\030\201\002\005\001\011\060\011\061\011\062\011\063\011\064\011\065\011\066\011\067\025\000\046\377\007\165\020\225\010\201\002\300'
LOW=0
MIDDLE=1023
HIGH=2047
# The axis of each stick, its value right or away, and the other one.
LEFT_ACROSS=a3 LEFT_ACROSS_TO=$LOW LEFT_ACROSS_FROM=$HIGH
LEFT_ALONG=a2 LEFT_ALONG_TO=$HIGH LEFT_ALONG_FROM=$LOW
RIGHT_ACROSS=a0 RIGHT_ACROSS_TO=$HIGH RIGHT_ACROSS_FROM=$LOW
RIGHT_ALONG=a1 RIGHT_ALONG_TO=$HIGH RIGHT_ALONG_FROM=$LOW
# Where the throttle, the left stick along, is left.
THROTTLE_REST=$LOW

report() {
    S=""
    byte $((buttons & 255))
    byte 0
    byte 0
    for value in $a0 $a1 $a2 $a3 $MIDDLE $MIDDLE $MIDDLE $MIDDLE; do
        byte $((value & 255))
        byte $((value >> 8))
    done
    printf "$S" >/dev/hidg0
}
