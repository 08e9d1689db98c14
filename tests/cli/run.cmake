cmake_minimum_required(VERSION 3.25)
# Runs PROGRAM with ARGUMENTS; both the text EXPECTED and the exit STATUS must come out.
execute_process(COMMAND ${PROGRAM} ${ARGUMENTS} RESULT_VARIABLE status
                OUTPUT_VARIABLE out ERROR_VARIABLE err)
string(FIND "${out}${err}" "${EXPECTED}" at)
if(at EQUAL -1 OR NOT status STREQUAL STATUS)
  message(FATAL_ERROR "expected status ${STATUS} and \"${EXPECTED}\"; got ${status} and\n${out}${err}")
endif()
if(NOT status STREQUAL 0 AND NOT status STREQUAL 1 AND NOT out STREQUAL "")
  message(FATAL_ERROR "a failed run printed a result:\n${out}")
endif()
